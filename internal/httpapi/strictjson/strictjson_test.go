package strictjson

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"unicode/utf8"
)

var cases = []struct {
	name, in string
	pointer  string // of the fault
	detail   string // part of it; "" = accepted
}{
	{"object", `{"a":1,"b":[true,false,null,"x",-1.5]}`, "", ""},
	{"spaces about it", " \r\n\t{} \n", "", ""},
	{"bare value", `"x"`, "", ""},
	{"pair of surrogates", `{"a":"\ud83c\udfcf"}`, "", ""},
	{"same name in two objects", `[{"a":1},{"a":2}]`, "", ""},
	{"name escaped", `{"a/b~c":{"x":1,"x":2}}`, "/a~1b~0c/x", "twice"},
	{"nothing", "", "", "nothing"},
	{"only spaces", " \n", "", "nothing"},
	{"byte order mark", "\xef\xbb\xbf{}", "", "not one JSON document"},
	{"not UTF-8", "{\"a\":\"\xff\"}", "", "UTF-8"},
	{"overlong UTF-8", "{\"a\":\"\xc0\xaf\"}", "", "UTF-8"},
	{"surrogate as UTF-8", "{\"a\":\"\xed\xa0\x80\"}", "", "UTF-8"},
	{"half a pair", `{"a":"\ud83c"}`, "", "surrogate"},
	{"half a pair, other half", `{"a":"\udfcf"}`, "", "surrogate"},
	{"half a pair and a letter", `{"a":"\ud83c\u0041"}`, "", "surrogate"},
	{"backslash before the u", `{"a":"\\ud83c"}`, "", ""},
	{"name twice", `{"balls":6,"balls":7}`, "/balls", "twice"},
	{"name twice, once escaped", `{"balls":6,"\u0062alls":7}`, "/balls", "twice"},
	{"name twice below", `{"overs":[{"id":1},{"id":1,"id":2}]}`, "/overs/1/id", "twice"},
	{"empty name twice", `{"":1,"":2}`, "/", "twice"},
	{"two documents", `{}{}`, "", "not one JSON document"},
	{"rubbish behind", `{} x`, "", "not one JSON document"},
	{"comma behind", `{"a":1,}`, "", "not one JSON document"},
	{"comment", `{"a":1/*x*/}`, "", "not one JSON document"},
	{"single quotes", `{'a':1}`, "", "not one JSON document"},
	{"bare name", `{a:1}`, "", "not one JSON document"},
	{"cut off", `{"a":[1,2`, "", "not one JSON document"},
	{"NaN", `{"a":NaN}`, "", "not one JSON document"},
	{"plus", `{"a":+1}`, "", "not one JSON document"},
	{"leading zero", `{"a":01}`, "", "not one JSON document"},
	{"line end in text", "{\"a\":\"x\ny\"}", "", "not one JSON document"},
	{"exponent", `{"a":1e3}`, "/a", "exponent"},
	{"huge exponent", `{"a":1E999999}`, "/a", "exponent"},
	{"16 digits", `{"a":1234567890123456}`, "/a", "digits"},
	{"15 digits", `{"a":-123456789012345}`, "", ""},
	{"NUL", `{"a":"x\u0000y"}`, "/a", "NUL"},
	{"NUL in a name", `{"a\u0000":1}`, "/a\x00", "NUL"},
	{"20 deep", strings.Repeat("[", 20) + strings.Repeat("]", 20), "", ""},
	{"21 deep", strings.Repeat("[", 21) + strings.Repeat("]", 21), strings.Repeat("/0", 20), "nested"},
	{"a million deep", strings.Repeat("[", 1000000) + strings.Repeat("]", 1000000), "", "not one JSON document"},
	{"objects 21 deep", strings.Repeat(`{"a":`, 21) + "1" + strings.Repeat("}", 21), strings.Repeat("/a", 20), "nested"},
}

func TestCheck(t *testing.T) {
	t.Parallel()
	for _, c := range cases {
		err := Check([]byte(c.in))
		if c.detail == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		var f *Fault
		if !errors.As(err, &f) {
			t.Errorf("%s: %v, want a fault", c.name, err)
			continue
		}
		if f.Pointer != c.pointer || !strings.Contains(f.Detail, c.detail) {
			t.Errorf("%s: %v, want %q with %q", c.name, f, c.pointer, c.detail)
		}
	}
}

// FuzzCheck: what is accepted is JSON for the standard library too, and is the same document when written anew; what the library
// cannot read is never accepted.
func FuzzCheck(f *testing.F) {
	for _, c := range cases {
		if len(c.in) < 1000 {
			f.Add([]byte(c.in))
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if err := Check(data); err != nil {
			var fault *Fault
			if !errors.As(err, &fault) || !utf8.ValidString(fault.Error()) {
				t.Fatalf("not a fault in UTF-8: %v", err)
			}
			return
		}
		var v any
		if err := json.Unmarshal(data, &v); err != nil {
			t.Fatalf("accepted, yet %v", err)
		}
		again, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(again); err != nil && !strings.Contains(err.Error(), "exponent") && !strings.Contains(err.Error(), "digits") {
			t.Fatalf("written anew: %v", err)
		}
	})
}
