package exchange

// numbers gives every text a number in order of first appearance and keeps each text once.
type numbers struct {
	of    map[string]int32
	texts []string
	last  int // the one asked for last: rows of one match stand together
}

func newNumbers() *numbers { return &numbers{of: map[string]int32{}, last: -1} }

// find gives the number of a text that has been met before.
func (n *numbers) find(f []byte) (int, bool) {
	if n.last >= 0 && n.texts[n.last] == string(f) {
		return n.last, true
	}
	if no, ok := n.of[string(f)]; ok {
		n.last = int(no)
		return n.last, true
	}
	return 0, false
}

func (n *numbers) add(f []byte) int {
	s := string(f)
	n.last = len(n.texts)
	n.of[s] = int32(n.last)
	n.texts = append(n.texts, s)
	return n.last
}

// number reads a reference as its number; a text that was met before has been looked at already. It is -1 where the text is
// refused or blank.
func (t *table) number(k int, n *numbers) int {
	f := t.field(k)
	if len(f) > 0 {
		if no, ok := n.find(f); ok {
			return no
		}
	}
	if reason := t.textFault(k, f); reason != "" {
		t.refuse(k, reason)
		return -1
	}
	if len(f) == 0 {
		return -1
	}
	return n.add(f)
}

// shared reads a text that comes back in many rows, keeping it once.
func (t *table) shared(k int, n *numbers) string {
	if no := t.number(k, n); no >= 0 {
		return n.texts[no]
	}
	return ""
}
