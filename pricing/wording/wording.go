// Package wording carries what the core has to tell a reader: which thing, by
// a key, and the facts it is about. A Tongue puts both into the words of a
// language. The texts of each language are a file beside this one.
package wording

import (
	"encoding/json"

	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

// Remark is one thing to tell. The zero value tells nothing.
type Remark struct {
	Key   string `json:"key,omitempty"`
	Facts []Fact `json:"facts,omitempty"`
}

// Fact is one thing a remark is about. What Kind is says which of the other
// fields mean something.
type Fact struct {
	Kind     Kind          `json:"kind"`
	ID       string        `json:"id,omitempty"`
	Text     string        `json:"text,omitempty"` // as it is, or the English name of what ID names
	Number   float64       `json:"number,omitzero"`
	Decimals int           `json:"decimals,omitzero"`
	Unit     measure.Unit  `json:"unit,omitempty"`
	Day      *calendar.Day `json:"day,omitempty"`
	Remark   *Remark       `json:"remark,omitempty"`
	List     []Fact        `json:"list,omitempty"`
}

// Kind is what a fact is.
type Kind string

// The kinds there are.
const (
	KindText   Kind = "text"   // a name of its own: a person, a port, a place aboard
	KindNumber Kind = "number" // so many decimals
	KindDay    Kind = "day"
	KindAmount Kind = "amount" // item-units
	KindItem   Kind = "item"   // of the catalogue
	KindNeed   Kind = "need"   // of the catalogue
	KindWord   Kind = "word"   // a text of the language's own, by its key
	KindSaid   Kind = "said"   // a remark inside another
	KindList   Kind = "list"
	KindWant   Kind = "want" // what was expected, by its English words
)

// Trouble is an error that can be put into a reader's words.
type Trouble struct{ Remark }

// Error is the trouble in English.
func (t Trouble) Error() string { return t.String() }

// Fail is an error of a remark.
func Fail(key string, facts ...Fact) error { return Trouble{Say(key, facts...)} }

// Say makes a remark.
func Say(key string, facts ...Fact) Remark { return Remark{key, facts} }

// Plain is a remark in somebody's own words, the same in every language.
func Plain(text string) Remark { return Remark{Facts: []Fact{Text(text)}} }

// Text is a name or word that is the same in every language.
func Text(s string) Fact { return Fact{Kind: KindText, Text: s} }

// Number is x with so many decimals.
func Number(x float64, decimals int) Fact {
	return Fact{Kind: KindNumber, Number: x, Decimals: decimals}
}

// Count is a whole number; as a remark's first fact it chooses between one and
// many.
func Count(n int) Fact { return Number(float64(n), 0) }

// Day is a civil day.
func Day(d calendar.Day) Fact { return Fact{Kind: KindDay, Day: &d} }

// Amount is x of something counted in u.
func Amount(x float64, u measure.Unit) Fact { return Fact{Kind: KindAmount, Number: x, Unit: u} }

// Item is an item of the catalogue with its English name.
func Item(id, name string) Fact { return Fact{Kind: KindItem, ID: id, Text: name} }

// Need is a need of the catalogue with its English name.
func Need(id, name string) Fact { return Fact{Kind: KindNeed, ID: id, Text: name} }

// Want is what was expected, in English; a glossary has it in other languages.
func Want(text string) Fact { return Fact{Kind: KindWant, ID: text, Text: text} }

// Word is a text of the language by its key.
func Word(key string) Fact { return Fact{Kind: KindWord, ID: key} }

// Place is a locker or space by its name aboard, one named as its kind is by
// the language's word for that.
func Place(id string) Fact { return Fact{Kind: KindWord, ID: "space." + id, Text: id} }

// Both is two remarks, one after the other.
func Both(a, b Remark) Remark { return Say("and.then", Said(a), Said(b)) }

// Said is a remark inside another.
func Said(r Remark) Fact { return Fact{Kind: KindSaid, Remark: &r} }

// List is several facts with commas between.
func List(fs ...Fact) Fact { return Fact{Kind: KindList, List: fs} }

// IsZero says whether there is nothing to tell.
func (r Remark) IsZero() bool { return r.Key == "" && len(r.Facts) == 0 }

// String is the remark in English.
func (r Remark) String() string { return english.Say(r) }

// MarshalJSON writes key and facts, and beside them the remark in English.
func (r Remark) MarshalJSON() ([]byte, error) {
	type plain Remark
	return json.Marshal(struct {
		plain
		Text string `json:"text"`
	}{plain(r), r.String()})
}

// UnmarshalJSON reads what MarshalJSON writes; a text alone, as older versions
// kept it, is taken as it is.
func (r *Remark) UnmarshalJSON(b []byte) error {
	var text string
	if json.Unmarshal(b, &text) == nil {
		*r = Plain(text)
		return nil
	}
	type plain Remark
	var p plain
	err := json.Unmarshal(b, &p)
	*r = Remark(p)
	return err
}
