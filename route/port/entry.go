package port

// For is the rule that meets a boat coming from outside zone's country: the
// zone's own rule of the class, else that of the class it inherits, else those
// of the zone it is part of, else the rule of all food. The rule given names
// the zone and class it was written for. With none read, its status is
// Unknown: to be declared, never to be taken for allowed.
func (r *Rules) For(zone, class string) Rule {
	tries := []string{zone}
	if z := r.zones[zone]; z.Within != "" && !z.apart(class) || z.Apart == Wholly {
		tries = append(tries, z.Within)
	}
	for _, z := range tries {
		if rule, ok := r.own(z, class); ok {
			return rule
		}
	}
	for _, z := range tries {
		if rule, ok := r.rules[ruleKey{z, everything}]; ok {
			return rule
		}
	}
	return unread(zone, class, "No rule known here.")
}

// own is the zone's own rule of the class or of the class it inherits.
func (r *Rules) own(zone, class string) (Rule, bool) {
	for _, c := range []string{class, inherits[class]} {
		if rule, ok := r.rules[ruleKey{zone, c}]; ok && c != "" {
			return rule, true
		}
	}
	return Rule{}, false
}

func unread(zone, class, why string) Rule {
	return Rule{Zone: zone, Class: class, Status: Unknown, Note: why}
}

func (z Zone) apart(class string) bool {
	if z.Apart != Plants {
		return z.Apart == Wholly
	}
	for _, p := range plants {
		if p == class {
			return true
		}
	}
	return false
}

// border is the zone whose border a class meets when it comes to this zone.
func (r *Rules) border(zone, class string) string {
	if z := r.zones[zone]; z.Within != "" && !z.apart(class) {
		return z.Within
	}
	return zone
}

func (r *Rules) country(zone string) string {
	if z := r.zones[zone]; z.Within != "" {
		return z.Within
	}
	return zone
}

// Entering says whether sailing from one port to the next brings a class over
// a border, and the rule there. Two ports of one zone never do, nor two EU
// ports; the Canary Islands and the overseas parts of France are EU for animal
// goods but zones of their own for fresh plants. Over a border inside a
// country (into Tasmania, out of Hawaii) only the rule of the part itself speaks;
// with none read it is Unknown.
func (r *Rules) Entering(from, to Port, class string) (Rule, bool) {
	was, is := r.border(from.Zone, class), r.border(to.Zone, class)
	if was == is {
		return Rule{}, false
	}
	if r.country(was) != r.country(is) {
		return r.For(to.Zone, class), true
	}
	for _, part := range []string{is, was} {
		if rule, ok := r.own(part, class); ok && r.zones[part].Within != "" {
			return rule, true
		}
	}
	return unread(is, class, "A border inside one country or union: no rule known here."), true
}

// Zone tells of a zone; false when zones.csv has none.
func (r *Rules) Zone(id string) (Zone, bool) {
	z, ok := r.zones[id]
	return z, ok
}

// Authority is whom to ask about arriving in zone, as far as it was read;
// empty when it was not.
func (r *Rules) Authority(zone string) string {
	if z := r.zones[zone]; z.Authority == "" && z.Within != "" {
		return r.zones[z.Within].Authority
	}
	return r.zones[zone].Authority
}

// Alcohol gives what was read of a zone's alcohol limits per adult; none means
// not read, not "no limit". A part of a country that controls by itself does
// not inherit: customs and excise often differ there.
func (r *Rules) Alcohol(zone string) []Allowance {
	return append([]Allowance(nil), r.alcohol[zone]...)
}
