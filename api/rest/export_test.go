package rest

import (
	"strings"

	"hardtack/api/access"
)

// DecodeStrict is for the fuzz test.
var DecodeStrict = decodeStrict

// RuleOf is the rule of a route as Routes writes it, Ruled all that have one.
func RuleOf(route string) access.Rule { return rules[colons(route)] }

func Ruled() []string {
	var out []string
	for name := range rules {
		for _, route := range Routes() {
			if colons(route) == name {
				name = route
			}
		}
		out = append(out, name)
	}
	return out
}

func colons(route string) string {
	return strings.NewReplacer("{", ":", "}", "").Replace(route)
}
