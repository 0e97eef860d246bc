package naive

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// keys names what tells the rows of a list apart whose order the text leaves open: they are compared by these keys. The order
// of every other list is compared as it stands.
var keys = map[string][]string{
	"spells": {"player", "match", "innings", "first_over"},
	"days":   {"player", "date"},
	"left":   {"player"},
}

// texts are the fields whose words are the product's own: they must be there and not be empty.
var texts = []string{"says", "source"}

// FirstDifference compares an answer with the one that is wanted (a value of this package that marshals to JSON). Blank where
// everything wanted is there. The answer may have more keys than the wanted one; an absent key is null.
func FirstDifference(want any, got []byte) string {
	wanted, err := json.Marshal(want)
	if err != nil {
		return err.Error()
	}
	var w, g any
	if err := json.Unmarshal(wanted, &w); err != nil {
		return "wanted: " + err.Error()
	}
	if err := json.Unmarshal(got, &g); err != nil {
		return "answer: " + err.Error()
	}
	return differ("", w, g)
}

func differ(path string, want, got any) string {
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		if !ok {
			return fmt.Sprintf("%s: want an object, got %s", path, short(got))
		}
		return differObjects(path, w, g)
	case []any:
		g, ok := got.([]any)
		if !ok {
			return fmt.Sprintf("%s: want a list, got %s", path, short(got))
		}
		return differLists(path, w, g)
	}
	if want != got {
		return fmt.Sprintf("%s: want %s, got %s", path, short(want), short(got))
	}
	return ""
}

func differObjects(path string, want, got map[string]any) string {
	var names []string
	for name := range want {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		if d := differ(path+"."+name, want[name], got[name]); d != "" {
			return d
		}
	}
	if _, finding := want["weight"]; finding {
		for _, name := range texts {
			if s, ok := got[name].(string); !ok || s == "" {
				return fmt.Sprintf("%s.%s: want some text, got %s", path, name, short(got[name]))
			}
		}
	}
	return ""
}

func differLists(path string, want, got []any) string {
	by := keys[path[strings.LastIndex(path, ".")+1:]]
	if by != nil {
		sortBy(want, by)
		sortBy(got, by)
	}
	for i := range min(len(want), len(got)) {
		if d := differ(fmt.Sprintf("%s[%d]", path, i), want[i], got[i]); d != "" {
			return d + "\n  wanted row " + short(want[i]) + "\n  the answer " + short(got[i])
		}
	}
	if len(want) > len(got) {
		return fmt.Sprintf("%s: want %d rows, got %d; the first missing: %s", path, len(want), len(got), short(want[len(got)]))
	}
	if len(want) < len(got) {
		return fmt.Sprintf("%s: want %d rows, got %d; the first unwanted: %s", path, len(want), len(got), short(got[len(want)]))
	}
	return ""
}

func sortBy(rows []any, by []string) {
	slices.SortStableFunc(rows, func(a, b any) int {
		for _, key := range by {
			if n := compareValues(field(a, key), field(b, key)); n != 0 {
				return n
			}
		}
		return 0
	})
}

func field(row any, key string) any {
	m, _ := row.(map[string]any)
	return m[key]
}

func compareValues(a, b any) int {
	x, ok1 := a.(float64)
	y, ok2 := b.(float64)
	if ok1 && ok2 {
		return cmp.Compare(x, y)
	}
	return strings.Compare(short(a), short(b))
}

func short(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	if len(b) > 500 {
		return string(b[:500]) + "..."
	}
	return string(b)
}
