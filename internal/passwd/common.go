package passwd

import (
	"slices"
	"strconv"
	"strings"
)

// The list of common.txt, and how its words are put together by those who choose them.
var common = readCommon(commonText)

// mostPieces is how many different pieces of the list a password may be made of and still be refused.
const mostPieces = 3

type commonList struct {
	words   map[string]bool // pieces
	phrases map[string]bool // whole passwords
	longest int             // of a piece, in bytes
}

// readCommon reads lines; a line that begins with = is a phrase that is refused whole, any other is a piece.
func readCommon(text string) commonList {
	l := commonList{words: map[string]bool{}, phrases: map[string]bool{}}
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		if phrase, ok := strings.CutPrefix(line, "="); ok {
			l.phrases[squash(phrase)] = true
			continue
		}
		w := squash(line)
		l.words[w] = true
		l.longest = max(l.longest, len(w))
	}
	return l
}

// made reports whether a squashed password is on the list, or is nothing but a few pieces of it and runs, however often each is
// repeated: password12345678, qwertyuiopqwertyuiop, 123456789012345, aaaaaaaaaaaaaaaa. An empty one is made of nothing.
func (l commonList) made(p string) bool {
	if l.phrases[p] || p == "" {
		return true
	}
	return (&cover{list: l, failed: map[string]bool{}}).rest(p, nil)
}

// cover tries to lay pieces over a password from its beginning. It remembers what failed, because pieces are made of other pieces and
// the ways to lay them multiply.
type cover struct {
	list   commonList
	failed map[string]bool // what was left, and which pieces were in use
}

// rest reports whether what is left can be covered; used are the different pieces so far, in order of the alphabet.
func (c *cover) rest(p string, used []string) bool {
	if p == "" {
		return true
	}
	key := strconv.Itoa(len(p)) + " " + strings.Join(used, " ")
	if c.failed[key] {
		return false
	}
	ok := c.anyPiece(p, used)
	c.failed[key] = !ok
	return ok
}

func (c *cover) anyPiece(p string, used []string) bool {
	if n := runLength(p); n >= 3 && c.piece("run", n, p, used) {
		return true
	}
	for n := min(len(p), c.list.longest); n > 0; n-- {
		if c.list.words[p[:n]] && c.piece(p[:n], n, p, used) {
			return true
		}
	}
	if year(p) && c.piece("year", 4, p, used) {
		return true
	}
	n := digitsAhead(p)
	return n > 0 && n <= 4 && n == len(p) && c.piece("tail", n, p, used)
}

func (c *cover) piece(name string, n int, p string, used []string) bool {
	if i, had := slices.BinarySearch(used, name); !had {
		if len(used) == mostPieces {
			return false
		}
		used = slices.Insert(slices.Clone(used), i, name)
	}
	return c.rest(p[n:], used)
}

// runLength is how many bytes from the beginning of p are one character repeated or a run such as 12345, 98765, abcde.
func runLength(p string) int {
	best := 1
	for _, step := range []int{0, 1, -1} {
		n := 1
		for n < len(p) && follows(p[n-1], p[n], step) {
			n++
		}
		best = max(best, n)
	}
	return best
}

// follows reports whether b comes step after a; after 9 comes 0 and the other way round, as on a keyboard.
func follows(a, b byte, step int) bool {
	if step == 1 && a == '9' && b == '0' || step == -1 && a == '0' && b == '9' {
		return true
	}
	return int(b) == int(a)+step
}

func year(p string) bool {
	return digitsAhead(p) >= 4 && (strings.HasPrefix(p, "19") || strings.HasPrefix(p, "20"))
}

func digitsAhead(p string) int {
	n := 0
	for n < len(p) && p[n] >= '0' && p[n] <= '9' {
		n++
	}
	return n
}
