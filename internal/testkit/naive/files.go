package naive

import (
	"bytes"
	"encoding/csv"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
)

// table is one CSV file before it is written.
type table struct {
	columns []string
	rows    []map[string]string
}

// Files writes players.csv, overs.csv and outings.csv into a directory. The random source, if there is one, mixes what the
// formats leave free: the order of the columns, a byte order mark and the ends of the lines.
func (l Log) Files(dir string, rng *rand.Rand) error {
	// In a fixed order, so that the same seed writes the same files.
	for _, f := range []struct {
		name string
		t    table
	}{{"players.csv", l.playersTable()}, {"overs.csv", l.oversTable()}, {"outings.csv", l.outingsTable()}} {
		if err := os.WriteFile(filepath.Join(dir, f.name), f.t.bytes(rng), 0o600); err != nil {
			return err
		}
	}
	return nil
}

func (t table) bytes(rng *rand.Rand) []byte {
	var out bytes.Buffer
	columns := append([]string(nil), t.columns...)
	w := csv.NewWriter(&out)
	if rng != nil {
		rng.Shuffle(len(columns), func(i, j int) { columns[i], columns[j] = columns[j], columns[i] })
		if rng.IntN(4) == 0 {
			out.WriteString("\ufeff")
		}
		w.UseCRLF = rng.IntN(2) == 0
	}
	lines := [][]string{columns}
	for _, row := range t.rows {
		var line []string
		for _, c := range columns {
			line = append(line, row[c])
		}
		lines = append(lines, line)
	}
	if err := w.WriteAll(lines); err != nil {
		panic(err) // a buffer takes everything
	}
	return out.Bytes()
}

func (l Log) playersTable() table {
	t := table{columns: []string{"player", "name", "born", "sex", "arm", "kind", "club", "squad", "since"}}
	for _, p := range l.Players {
		t.rows = append(t.rows, map[string]string{"player": p.Player, "born": p.Born, "kind": p.Kind})
	}
	return t
}

func (l Log) oversTable() table {
	t := table{columns: []string{
		"match", "date", "day", "overs_a_side", "bowler_cap", "innings", "over", "end", "player", "kind", "balls", "valid", "break_min",
	}}
	for _, o := range l.Overs {
		row := map[string]string{
			"match": o.Match, "date": o.Date, "day": orBlank(o.Day), "overs_a_side": orBlank(o.OversASide), "bowler_cap": orBlank(o.BowlerCap),
			"innings": strconv.Itoa(o.Innings), "over": strconv.Itoa(o.Over), "end": o.End, "player": o.Player, "kind": o.Kind,
			"balls": strconv.Itoa(o.Balls), "break_min": orBlank(o.BreakMin),
		}
		if o.Valid >= 0 {
			row["valid"] = strconv.Itoa(o.Valid)
		}
		t.rows = append(t.rows, row)
	}
	return t
}

func (l Log) outingsTable() table {
	t := table{columns: []string{
		"outing", "date", "club", "squad", "kind_of_outing", "state", "player", "present", "bowling_kind", "balls", "overs", "hits", "trial", "effort",
	}}
	for _, o := range l.Outings {
		row := map[string]string{
			"outing": o.Outing, "date": o.Date, "kind_of_outing": o.Kind, "state": o.State, "player": o.Player, "present": o.Present,
			"bowling_kind": o.BowlingKind, "overs": o.Overs,
		}
		if o.Balls >= 0 {
			row["balls"] = strconv.Itoa(o.Balls)
		}
		t.rows = append(t.rows, row)
	}
	return t
}

func orBlank(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}
