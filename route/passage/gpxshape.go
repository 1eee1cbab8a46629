package passage

import (
	"bytes"
	"fmt"
)

const (
	maxDepth = 32       // elements within elements; GPX 1.1 itself needs 6
	maxTag   = 16 << 10 // bytes of one tag with its attributes
	maxRun   = 1 << 20  // bytes between two tags
)

// shape looks a file over before anything is made of it: how deep it nests, how
// long its tags and texts are, how many points it has. What a reader of XML
// would take memory for without end is refused here, in one pass and no memory.
func shape(b []byte) error {
	depth, points := 0, 0
	for len(b) > 0 {
		open := bytes.IndexByte(b, '<')
		if open < 0 {
			open = len(b)
		}
		if open > maxRun {
			return fmt.Errorf("a text of more than %d bytes", maxRun)
		}
		if b = b[open:]; len(b) == 0 {
			return nil
		}
		if rest, skipped := past(b); skipped {
			b = rest
			continue
		}
		end, err := tagEnd(b)
		if err != nil {
			return err
		}
		if end < 2 {
			return nil // the reader says what is wrong
		}
		tag := b[:end]
		b = b[end:]
		switch {
		case bytes.HasPrefix(tag, []byte("<!")):
			return fmt.Errorf("a declaration %.20q: want none", tag)
		case tag[1] == '/':
			depth--
		case tag[1] == '?', bytes.HasSuffix(tag, []byte("/>")):
		default:
			if depth++; depth > maxDepth {
				return fmt.Errorf("elements more than %d deep", maxDepth)
			}
		}
		if isPoint(tag) {
			if points++; points > maxGPXPoints {
				return fmt.Errorf("more than %d points", maxGPXPoints)
			}
		}
	}
	return nil
}

// past gives what comes after a comment or a text as it is.
func past(b []byte) (rest []byte, skipped bool) {
	for _, s := range [][2]string{{"<!--", "-->"}, {"<![CDATA[", "]]>"}} {
		if !bytes.HasPrefix(b, []byte(s[0])) {
			continue
		}
		end := bytes.Index(b, []byte(s[1]))
		if end < 0 {
			return nil, true // the reader says what is wrong
		}
		return b[end+len(s[1]):], true
	}
	return b, false
}

// tagEnd is where the tag ends that begins here; quotes may hold anything.
func tagEnd(b []byte) (int, error) {
	var quote byte
	for i := 1; i < len(b) && i < maxTag; i++ {
		switch c := b[i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '>':
			return i + 1, nil
		}
	}
	if len(b) < maxTag {
		return len(b), nil // the reader says what is wrong
	}
	return 0, fmt.Errorf("a tag of more than %d bytes", maxTag)
}

func isPoint(tag []byte) bool {
	for _, name := range []string{"<rtept", "<trkpt", "<wpt"} {
		if bytes.HasPrefix(tag, []byte(name)) {
			return true
		}
	}
	return false
}
