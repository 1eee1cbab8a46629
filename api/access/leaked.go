package access

import (
	"bufio"
	"compress/gzip"
	_ "embed"
	"io"
	"strings"
)

// leakedFile are the commonest passwords of the length that is asked for, in
// lower case, one a line: see SOURCES.md. It stays packed, for it is asked a
// few times a day.
//
//go:embed leaked.txt.gz
var leakedFile string

// leaked says whether a password is one of the commonest, whatever its case.
func leaked(password string) bool {
	password = strings.ToLower(password)
	found := false
	eachLeaked(func(common string) bool {
		found = common == password
		return !found
	})
	return found
}

// eachLeaked goes on while yield says so.
func eachLeaked(yield func(string) bool) {
	z, err := gzip.NewReader(strings.NewReader(leakedFile))
	if err != nil {
		panic("the list of passwords: " + err.Error()) // built in: only a broken build gets here
	}
	lines := bufio.NewReader(z)
	for {
		line, err := lines.ReadString('\n')
		if err == io.EOF {
			return
		}
		if err != nil {
			panic("the list of passwords: " + err.Error())
		}
		if !yield(strings.TrimSuffix(line, "\n")) {
			return
		}
	}
}
