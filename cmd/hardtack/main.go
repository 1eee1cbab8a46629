// Hardtack is for the person who victuals a sailing yacht for a season of
// passages: what was paid in which port becomes estimates, a route walked with
// them a plan, and the plan a shopping list for every stop.
package main

func main() {}
