package plan

// Reckon gives tests the cost Verify would recompute and the rules broken by
// purchases, stowage, draws and discards, whatever the plan says of itself.
func Reckon(b Brief, p Plan) (Cost, Violations) {
	a := newAudit(b, p)
	a.purchases()
	a.limits()
	a.draws()
	a.discards()
	a.balance()
	a.eating()
	a.stowage()
	found := a.found
	a.statements()
	return a.cost, found
}

// ReadBack writes a plan anew from the schedules it is read into.
func ReadBack(b Brief, p Plan) (Plan, error) {
	c, held, err := opened(b, p)
	if err != nil {
		return Plan{}, err
	}
	return c.write(held.Result()), nil
}
