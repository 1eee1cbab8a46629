package plan

import (
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// readDocument fills the struct that into points to. Which fields may be
// absent is read off the struct: lists, pointers and what has omitempty.
func readDocument(r io.Reader, into any) (*problems, error) {
	ps := &problems{}
	t, err := readTree(r, ps)
	if err != nil {
		return nil, err
	}
	if len(ps.list) == 0 {
		fill(ps, t, reflect.ValueOf(into).Elem(), "")
	}
	return ps, nil
}

func fill(ps *problems, t tree, v reflect.Value, path string) {
	switch v.Kind() {
	case reflect.Struct:
		fillStruct(ps, t, v, path)
	case reflect.Slice:
		fillSlice(ps, t, v, path)
	case reflect.Pointer:
		if t.kind != treeNull {
			v.Set(reflect.New(v.Type().Elem()))
			fill(ps, t, v.Elem(), path)
		}
	case reflect.Float64:
		fillFloat(ps, t, v, path)
	case reflect.Int:
		fillInt(ps, t, v, path)
	default: // reflect.String
		if t.kind == treeText {
			v.SetString(t.text)
		} else {
			ps.add(path, "is "+t.describe(), string(treeText))
		}
	}
}

func fillStruct(ps *problems, t tree, v reflect.Value, path string) {
	if t.kind != treeObject {
		ps.add(path, "is "+t.describe(), string(treeObject))
		return
	}
	fields := fieldsOf(v.Type())
	for i, name := range t.names {
		f := slices.IndexFunc(fields, func(f docField) bool { return f.name == name })
		switch {
		case f < 0:
			ps.add(join(path, name), "is not known", "one of "+fieldNames(fields))
		case slices.Contains(t.names[:i], name):
			ps.add(join(path, name), "appears twice", "one value")
		case t.values[i].kind != treeNull:
			fill(ps, t.values[i], v.Field(f), join(path, name))
			fields[f].seen = true
		}
	}
	for i, f := range fields {
		if f.required && !f.seen {
			ps.add(join(path, f.name), "is absent", describeKind(v.Field(i).Kind()))
		}
	}
}

func fillSlice(ps *problems, t tree, v reflect.Value, path string) {
	switch t.kind {
	case treeNull:
	case treeList:
		v.Set(reflect.MakeSlice(v.Type(), len(t.values), len(t.values)))
		for i, value := range t.values {
			fill(ps, value, v.Index(i), join(path, i))
		}
	default:
		ps.add(path, "is "+t.describe(), string(treeList))
	}
}

func fillFloat(ps *problems, t tree, v reflect.Value, path string) {
	x, err := strconv.ParseFloat(t.text, 64)
	if t.kind != treeNumber || err != nil {
		ps.add(path, "is "+t.describe(), "a finite number")
		return
	}
	v.SetFloat(x)
}

// fillInt also takes 5.0 and 1e2: JSON knows no difference.
func fillInt(ps *problems, t tree, v reflect.Value, path string) {
	x, err := strconv.ParseFloat(t.text, 64)
	if t.kind != treeNumber || err != nil || x != math.Trunc(x) || math.Abs(x) > 1<<53 {
		ps.add(path, "is "+t.describe(), "a whole number")
		return
	}
	v.SetInt(int64(x))
}

// describe quotes what is short and names the kind of what is not.
func (t tree) describe() string {
	switch {
	case t.kind == treeNumber && len(t.text) <= 40:
		return t.text
	case t.kind == treeText && len(t.text) <= 40:
		return strconv.Quote(t.text)
	}
	return string(t.kind)
}

type docField struct {
	name     string
	required bool
	seen     bool
}

func fieldsOf(t reflect.Type) []docField {
	fields := make([]docField, t.NumField())
	for i := range fields {
		name, option, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		kind := t.Field(i).Type.Kind()
		fields[i] = docField{name: name, required: option != "omitempty" && kind != reflect.Slice && kind != reflect.Pointer}
	}
	return fields
}

func fieldNames(fields []docField) string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.name
	}
	return strings.Join(names, ", ")
}

func describeKind(k reflect.Kind) string {
	switch k {
	case reflect.Struct:
		return string(treeObject)
	case reflect.String:
		return string(treeText)
	}
	return string(treeNumber)
}

// join appends field names and list places to a path: join("needs", 0, "id")
// is needs[0].id.
func join(path string, parts ...any) string {
	var b strings.Builder
	b.WriteString(path)
	for _, part := range parts {
		switch p := part.(type) {
		case int:
			fmt.Fprintf(&b, "[%d]", p)
		case string:
			if b.Len() > 0 {
				b.WriteByte('.')
			}
			b.WriteString(p)
		}
	}
	return b.String()
}
