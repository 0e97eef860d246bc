package exchange

// numbers gives every text a number in order of first appearance and keeps each text once.
type numbers struct {
	of    map[string]int32
	texts []string

	// The ones asked for lately: the rows of a match stand together, and two bowlers take turns.
	lately [4]int32
	turn   int
}

func newNumbers() *numbers { return &numbers{of: map[string]int32{}} }

// find gives the number of a text that has been met before.
func (n *numbers) find(f []byte) (int, bool) {
	if len(n.texts) == 0 {
		return 0, false
	}
	for _, no := range n.lately {
		if n.texts[no] == string(f) {
			return int(no), true
		}
	}
	no, ok := n.of[string(f)]
	if ok {
		n.remember(no)
	}
	return int(no), ok
}

func (n *numbers) add(f []byte) int {
	s, no := string(f), int32(len(n.texts))
	n.of[s] = no
	n.texts = append(n.texts, s)
	n.remember(no)
	return int(no)
}

func (n *numbers) remember(no int32) {
	n.lately[n.turn] = no
	n.turn = (n.turn + 1) % len(n.lately)
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
