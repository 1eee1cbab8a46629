// Package pricing has what boats report from ports and what is believed of
// every port's prices: reports in, estimates out.
//
// A Report is a fact somebody saw. It is never edited: a later report of the
// same reporter may replace or withdraw it. An Estimate is a belief with an
// interval. A Table is all of it that the planner is given.
package pricing

import (
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// PortID names a port: its UN/LOCODE where there is one, else a key of ours.
type PortID string

// ItemID names an item of the catalogue.
type ItemID string

// Found is what the reporter found.
type Found string

// What a reporter can say. Withdrawn takes an earlier report back.
const (
	FoundYes  Found = "yes"   // bought or seen at a price
	FoundNone Found = "none"  // looked for, not to be had
	Cheap     Found = "cheap" // to be had, about 15 % or more below what one expects there
	Fair      Found = "fair"
	Dear      Found = "dear"
	Withdrawn Found = ""
)

// Source is how the reporter knows.
type Source string

// The sources, best first.
const (
	Receipt Source = "receipt"
	Shelf   Source = "shelf"
	Memory  Source = "memory"
)

// Report is one fact: who saw which price, or none, where and on which day.
// Paid and Pack are zero unless Found is FoundYes.
type Report struct {
	ID       string // UUID, made where the report was made
	Port     PortID
	Item     ItemID
	Day      calendar.Day
	Found    Found
	Paid     money.Amount     // for one pack
	Pack     measure.Quantity // units of the item in the pack
	Shop     string
	Reporter string
	Source   Source
	Quality  int // 1–5 as the goods looked, 0 unsaid
	Origin   string
	Note     string
	Replaces string // id of the report this one corrects or withdraws
}
