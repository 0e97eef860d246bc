package exchange

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"unicode"
	"unicode/utf8"

	"longspell/internal/domain"
)

// MaxListed is how many faults of one file are listed; of more, the last entry says only how many there are.
const MaxListed = 100_000

// maxNumber is the largest whole number that a file may hold: far beyond any over, innings or ball count.
const maxNumber = 9999

// column is a column of a layout. A needed one must be in the header; the others may be left out, which is the same as blank.
type column struct {
	name   string
	needed bool
}

// table reads the rows of one CSV file against a layout and collects its faults.
type table struct {
	file   string
	rs     *records
	layout []column
	place  []int    // by place in the layout: the field, -1 = not in the file
	header []string // by field
	errs   []LineError
	more   int  // faults beyond MaxListed
	bad    bool // the row at hand has a fault
	last   int  // line of the last fault
}

func openTable(file string, r io.Reader, layout []column) *table {
	t := &table{file: file, layout: layout, place: make([]int, len(layout))}
	t.rs = newRecords(r, t.structure)
	for i := range t.place {
		t.place[i] = -1
	}
	return t
}

// structure is told of a record that cannot be taken apart.
func (t *table) structure(line, field int, value []byte, reason string) {
	name := ""
	if field < len(t.header) {
		name = t.header[field]
	}
	t.add(line, name, value, reason)
}

func (t *table) add(line int, column string, value []byte, reason string) {
	t.bad, t.last = true, line
	if len(t.errs) >= MaxListed {
		t.more++
		return
	}
	t.errs = append(t.errs, LineError{File: t.file, Line: line, Column: column, Value: cut(value), Reason: reason})
}

// cut keeps no more of a long value than a refusal can need.
func cut(v []byte) string {
	const keep = 4*shownValue + utf8.UTFMax
	if len(v) <= keep {
		return string(v)
	}
	v = v[:keep]
	for n := len(v); n > keep-utf8.UTFMax; n-- {
		if utf8.RuneStart(v[n-1]) {
			if !utf8.FullRune(v[n-1:]) {
				v = v[:n-1]
			}
			break
		}
	}
	return string(v)
}

func notListed(more int) string {
	return fmt.Sprintf("%d more faults of this file are not listed", more)
}

// faults is what was wrong with the file, in order of line.
func (t *table) faults() []LineError {
	if t.rs.broken != nil {
		t.add(t.rs.line, "", nil, "the file cannot be read on: "+t.rs.broken.Error())
	}
	if t.more > 0 {
		t.errs = append(t.errs, LineError{File: t.file, Line: t.last, Reason: notListed(t.more)})
		t.more = 0
	}
	return t.errs
}

// readHeader takes the header row. It reports false where the rows below cannot be looked at.
func (t *table) readHeader() bool {
	if !t.rs.next() {
		t.missing()
		return false
	}
	text := true
	for i, f := range t.rs.fields {
		name := string(f)
		t.header = append(t.header, name)
		k := slices.IndexFunc(t.layout, func(c column) bool { return c.name == name })
		switch {
		case !utf8.Valid(f) || bytes.IndexByte(f, 0) >= 0:
			t.add(t.rs.start, cut(f), f, "this is not text in UTF-8")
			text = false
		case k < 0:
			t.add(t.rs.start, cut(f), f, "there is no such column")
		case t.place[k] >= 0:
			t.add(t.rs.start, name, f, "the column is there twice")
		default:
			t.place[k] = i
		}
	}
	t.missing()
	return text
}

func (t *table) missing() {
	for k, c := range t.layout {
		if c.needed && t.place[k] < 0 {
			t.add(1, c.name, nil, "the column is missing")
		}
	}
}

// next takes the next row that has as many fields as the header.
func (t *table) next() bool {
	for t.rs.next() {
		t.bad = false
		have, want := len(t.rs.fields), len(t.header)
		if have == want {
			return true
		}
		reason := fmt.Sprintf("the row has %d fields, the header has %d", have, want)
		if have < want {
			t.add(t.rs.start, t.header[have], nil, reason)
		} else {
			t.add(t.rs.start, fmt.Sprintf("field %d", want+1), t.rs.fields[want], reason)
		}
	}
	return false
}

// field is the value of a column of the layout, blank where the file does not have it.
func (t *table) field(k int) []byte {
	if i := t.place[k]; i >= 0 {
		return t.rs.fields[i]
	}
	return nil
}

// refuse tells that the value of a column of the row at hand is not taken.
func (t *table) refuse(k int, reason string) {
	t.add(t.rs.start, t.layout[k].name, t.field(k), reason)
}

// wanted reports whether a blank in a needed column is to be refused: not where the whole column is missing, which has been
// said once.
func (t *table) wanted(k int) bool { return t.layout[k].needed && t.place[k] >= 0 }

// whole reads a whole number from low to high; blank gives the default, or is refused in a needed column.
func (t *table) whole(k, low, high, blank int) int {
	f := t.field(k)
	if len(f) == 0 {
		if t.wanted(k) {
			t.refuse(k, "a number is needed")
		}
		return blank
	}
	n := 0
	for _, b := range f {
		if b < '0' || b > '9' || n > high {
			n = -1
			break
		}
		n = n*10 + int(b-'0')
	}
	if n < low || n > high {
		t.refuse(k, fmt.Sprintf("must be a whole number from %d to %d", low, high))
		return blank
	}
	return n
}

// date reads a civil date; blank is not known, or is refused in a needed column.
func (t *table) date(k int, needed bool) domain.Date {
	f := t.field(k)
	if len(f) == 0 {
		if needed && t.wanted(k) {
			t.refuse(k, "a date is needed")
		}
		return domain.Date{}
	}
	d, err := domain.ParseDate(string(f))
	if err != nil {
		t.refuse(k, err.Error())
	}
	return d
}

// text reads a reference or a name: any text but control characters other than tab and line end, without blanks at its ends.
func (t *table) text(k int) string {
	f := t.field(k)
	if reason := t.textFault(k, f); reason != "" {
		t.refuse(k, reason)
	}
	return string(f)
}

func (t *table) textFault(k int, f []byte) string {
	if len(f) == 0 {
		if t.wanted(k) {
			return "must not be blank"
		}
		return ""
	}
	return textReason(f)
}

func textReason(f []byte) string {
	if !utf8.Valid(f) {
		return "this is not text in UTF-8"
	}
	for _, r := range string(f) {
		if unicode.IsControl(r) && r != '\t' && r != '\n' && r != '\r' {
			return "a control character stands in it"
		}
	}
	if first, last := f[0], f[len(f)-1]; first == ' ' || first == '\t' || last == ' ' || last == '\t' {
		return "a blank stands before or after it"
	}
	return ""
}

// oneOf reads one of the words of a layout; blank is refused in a needed column.
func oneOf[T ~string](t *table, k int, words ...T) T {
	f := string(t.field(k))
	if f == "" && !t.wanted(k) {
		return ""
	}
	for _, w := range words {
		if string(w) == f {
			return w
		}
	}
	t.refuse(k, "must be one of "+join(words))
	return ""
}

func join[T ~string](words []T) string {
	var b bytes.Buffer
	for i, w := range words {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(string(w))
	}
	return b.String()
}

func (t *table) kind(k int) domain.BowlingKind {
	v, ok := domain.ParseBowlingKind(string(t.field(k)))
	if !ok {
		t.refuse(k, "must be one of "+kindWords)
	}
	return v
}

var kindWords = func() string {
	var words []string
	for _, k := range domain.BowlingKinds() {
		words = append(words, k.String())
	}
	return join(words)
}()
