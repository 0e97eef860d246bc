// Package strictjson refuses JSON that two readers could understand differently (RFC 8259, "The JavaScript Object Notation (JSON)
// Data Interchange Format", IETF, December 2017, leaves such cases open): names that stand twice in an object, text that is not
// UTF-8, halves of surrogate pairs, numbers that lose digits, more than one document, and nesting that only an attacker writes.
package strictjson

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// The bounds of a document.
const (
	MaxDepth = 20
	// maxDigits is how many digits every reader keeps: a binary floating-point number has 15 for sure.
	maxDigits = 15
)

// Fault is what is wrong with a document, and where (JSON pointer, RFC 6901; "" is the whole document).
type Fault struct {
	Pointer string
	Detail  string
}

// Error names the place and the fault.
func (f *Fault) Error() string { return "JSON at " + strconv.Quote(f.Pointer) + ": " + f.Detail }

// Check reports the first fault of a document as a *Fault, nil if there is none.
func Check(data []byte) error {
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return &Fault{Detail: "there is nothing in it"}
	case !utf8.Valid(data):
		return &Fault{Detail: "it is not UTF-8"}
	}
	if err := wellFormed(data); err != nil {
		return err
	}
	w := walker{dec: json.NewDecoder(bytes.NewReader(data))}
	w.dec.UseNumber()
	if err := w.value("", 0); err != nil {
		return err
	}
	return surrogates(data)
}

// wellFormed refuses what is not exactly one JSON document.
func wellFormed(data []byte) error {
	var any json.RawMessage
	err := json.Unmarshal(data, &any)
	var syntax *json.SyntaxError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &syntax):
		return &Fault{Detail: fmt.Sprintf("it is not one JSON document: byte %d", syntax.Offset)}
	}
	return &Fault{Detail: "it is not one JSON document"}
}

type walker struct{ dec *json.Decoder }

func (w *walker) value(at string, depth int) error {
	tok, err := w.dec.Token()
	if err != nil {
		if errors.Is(err, io.EOF) {
			err = io.ErrUnexpectedEOF
		}
		return &Fault{Pointer: at, Detail: "it is not JSON: " + err.Error()}
	}
	switch v := tok.(type) {
	case json.Delim:
		if depth >= MaxDepth {
			return &Fault{Pointer: at, Detail: fmt.Sprintf("it is nested more than %d deep", MaxDepth)}
		}
		if v == '{' {
			return w.object(at, depth+1)
		}
		return w.array(at, depth+1)
	case json.Number:
		return number(at, v.String())
	case string:
		return text(at, v)
	}
	return nil
}

func (w *walker) object(at string, depth int) error {
	seen := map[string]bool{}
	for w.dec.More() {
		tok, err := w.dec.Token()
		name, ok := tok.(string)
		if err != nil || !ok {
			return &Fault{Pointer: at, Detail: "it is not JSON"}
		}
		here := at + "/" + escape(name)
		if seen[name] {
			return &Fault{Pointer: here, Detail: "this name stands twice"}
		}
		seen[name] = true
		if err := text(here, name); err != nil {
			return err
		}
		if err := w.value(here, depth); err != nil {
			return err
		}
	}
	return w.end(at)
}

func (w *walker) array(at string, depth int) error {
	for i := 0; w.dec.More(); i++ {
		if err := w.value(at+"/"+strconv.Itoa(i), depth); err != nil {
			return err
		}
	}
	return w.end(at)
}

func (w *walker) end(at string) error {
	if _, err := w.dec.Token(); err != nil {
		return &Fault{Pointer: at, Detail: "it is not JSON: " + err.Error()}
	}
	return nil
}

func number(at, n string) error {
	if strings.ContainsAny(n, "eE") {
		return &Fault{Pointer: at, Detail: "write the number without an exponent"}
	}
	if len(strings.NewReplacer("-", "", ".", "").Replace(n)) > maxDigits {
		return &Fault{Pointer: at, Detail: fmt.Sprintf("the number has more than %d digits", maxDigits)}
	}
	return nil
}

// text refuses NUL, which a database cannot keep.
func text(at, s string) error {
	if strings.ContainsRune(s, 0) {
		return &Fault{Pointer: at, Detail: "the text holds a NUL character"}
	}
	return nil
}

// escape writes a name as one step of a pointer; a long one is cut, since it only has to be recognised.
func escape(name string) string {
	if len(name) > 60 {
		cut := 60
		for cut > 0 && !utf8.RuneStart(name[cut]) {
			cut--
		}
		name = name[:cut] + "…"
	}
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(name)
}

// surrogates refuses \ud800 to \udfff that are not a pair: browsers keep them, Go replaces them, and so the two would disagree
// about the text. The document is well-formed JSON by now.
func surrogates(data []byte) error {
	inText := false
	for i := 0; i < len(data); i++ {
		switch {
		case data[i] == '"':
			inText = !inText
		case inText && data[i] == '\\':
			if data[i+1] != 'u' {
				i++
				continue
			}
			unit := hex4(data[i+2:])
			i += 5
			if unit < 0xd800 || unit > 0xdfff {
				continue
			}
			if unit >= 0xdc00 || len(data) < i+7 || data[i+1] != '\\' || data[i+2] != 'u' {
				return &Fault{Detail: fmt.Sprintf("half of a surrogate pair before byte %d", i)}
			}
			if low := hex4(data[i+3:]); low < 0xdc00 || low > 0xdfff {
				return &Fault{Detail: fmt.Sprintf("half of a surrogate pair before byte %d", i)}
			}
			i += 6
		}
	}
	return nil
}

func hex4(b []byte) uint64 {
	n, err := strconv.ParseUint(string(b[:4]), 16, 32)
	if err != nil {
		return 0
	}
	return n
}
