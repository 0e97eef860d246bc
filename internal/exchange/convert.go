package exchange

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Roster finds the player that a match file means by a name.
type Roster struct {
	byRef  map[string]*Player
	byName map[string]*Player // nil = several players have the name
}

// NewRoster makes a roster of the rows of a players file.
func NewRoster(players []Player) *Roster {
	r := &Roster{byRef: map[string]*Player{}, byName: map[string]*Player{}}
	for i := range players {
		p := &players[i]
		r.byRef[p.Ref] = p
		if p.Name == "" {
			continue
		}
		if _, taken := r.byName[p.Name]; taken {
			r.byName[p.Name] = nil
		} else {
			r.byName[p.Name] = p
		}
	}
	return r
}

// Find looks a name up among the references, then among the names. Where it finds nobody the reason says why.
func (r *Roster) Find(name string) (p *Player, reason string) {
	if p, ok := r.byRef[name]; ok {
		return p, ""
	}
	p, ok := r.byName[name]
	switch {
	case !ok:
		return nil, "is not in the players file"
	case p == nil:
		return nil, "is the name of several players of the players file"
	}
	return p, ""
}

// OverRows lays a match out as an over log under a match reference: one row for each bowler of an over, all on the first of the
// match's dates. Bowlers that the roster does not find keep their name and a blank kind; they are listed with the reason, in
// order of first appearance.
func (m Match) OverRows(ref string, roster *Roster) (rows []OverRow, notFound []string) {
	told := map[string]bool{}
	for i, in := range m.Innings {
		for _, o := range in.Overs {
			for _, b := range o.Bowlers {
				row := OverRow{Match: ref, Date: m.Dates[0], OversASide: m.OversASide, Innings: i + 1, Over: o.Over, Player: b.Name,
					Balls: b.Balls, Valid: b.Valid}
				p, reason := roster.Find(b.Name)
				if p != nil {
					row.Player, row.Kind = p.Ref, p.Kind
				} else if !told[b.Name] {
					told[b.Name] = true
					notFound = append(notFound, fmt.Sprintf("%s %s", QuoteValue(b.Name), reason))
				}
				rows = append(rows, row)
			}
		}
	}
	return rows, notFound
}

// WriteOvers writes an over log with all columns; ScanOvers reads it back as it was. Zero values that the layout leaves blank
// are blank.
func WriteOvers(w io.Writer, rows []OverRow) error {
	out := bufio.NewWriter(w)
	for i, c := range overLayout {
		if i > 0 {
			out.WriteByte(',')
		}
		out.WriteString(c.name)
	}
	out.WriteByte('\n')
	for i := range rows {
		for k, v := range rows[i].values() {
			if k > 0 {
				out.WriteByte(',')
			}
			writeField(out, v)
		}
		out.WriteByte('\n')
	}
	return out.Flush()
}

// values is the row in the order of overLayout.
func (r *OverRow) values() [13]string {
	date := ""
	if !r.Date.IsZero() {
		date = r.Date.String()
	}
	return [13]string{r.Match, date, unlessZero(r.Day), unlessZero(r.OversASide), unlessZero(r.BowlerCap), strconv.Itoa(r.Innings),
		strconv.Itoa(r.Over), r.End.String(), r.Player, r.Kind.String(), strconv.Itoa(r.Balls), strconv.Itoa(r.Valid), unlessZero(r.BreakMin)}
}

func unlessZero(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// writeField puts a value in quotation marks where RFC 4180 asks for it.
func writeField(out *bufio.Writer, v string) {
	if !strings.ContainsAny(v, ",\"\r\n") {
		out.WriteString(v)
		return
	}
	out.WriteByte('"')
	out.WriteString(strings.ReplaceAll(v, `"`, `""`))
	out.WriteByte('"')
}
