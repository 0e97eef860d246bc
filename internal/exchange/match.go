package exchange

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"longspell/internal/domain"
)

// MaxMatchFile is the largest ball-by-ball match file, in bytes: the longest of matches has a tenth of it.
const MaxMatchFile = 32 << 20

// maxDepth is how deeply a match file may be nested; the layout itself needs nine.
const maxDepth = 64

// Match is what a ball-by-ball match file says about bowling.
type Match struct {
	Dates      []domain.Date
	OversASide int // 0 = time cricket
	Innings    []MatchInnings
}

// MatchInnings is one innings, super overs included, in the order of the file.
type MatchInnings struct{ Overs []MatchOver }

// MatchOver is one over: its number counted from 1, and its bowlers in order of their first ball.
type MatchOver struct {
	Over    int
	Bowlers []BowlerShare
}

// BowlerShare is what one bowler delivered of an over.
type BowlerShare struct {
	Name         string
	Balls, Valid int
}

// The parts of the open ball-by-ball layout that say who bowled what. Everything else in a file is passed over.
type (
	matchInfo struct {
		Dates []string `json:"dates"`
		Overs *int     `json:"overs"`
	}
	matchOver struct {
		Over       *int       `json:"over"`
		Deliveries []delivery `json:"deliveries"`
	}
	delivery struct {
		Bowler *string                    `json:"bowler"`
		Extras map[string]json.RawMessage `json:"extras"`
	}
)

// ReadMatch reads a ball-by-ball match file. Column of its faults is the path in the file.
func ReadMatch(file string, r io.Reader) (Match, []LineError) {
	raw, err := io.ReadAll(io.LimitReader(r, MaxMatchFile+1))
	m := matchReader{file: file, raw: raw}
	switch {
	case err != nil:
		m.fault(0, "", "", "the file cannot be read on: "+err.Error())
	case len(raw) > MaxMatchFile:
		m.fault(0, "", "", "the file is larger than 32 MiB")
	case !m.checkText():
	default:
		m.dec = json.NewDecoder(bytes.NewReader(m.raw))
		m.read()
	}
	if len(m.errs) > 0 {
		return Match{}, m.faults()
	}
	return m.out, nil
}

func (m *matchReader) info() error {
	var info matchInfo
	at, err := m.decode("info", &info)
	if err != nil {
		return err
	}
	if len(info.Dates) == 0 {
		m.fault(at, "info.dates", "", "a date is needed")
	}
	for i, s := range info.Dates {
		d, err := domain.ParseDate(s)
		if err != nil {
			m.fault(at, "info.dates["+strconv.Itoa(i)+"]", s, err.Error())
		}
		m.out.Dates = append(m.out.Dates, d)
	}
	if info.Overs != nil {
		m.out.OversASide = *info.Overs
		if *info.Overs < 1 || *info.Overs > maxNumber {
			m.fault(at, "info.overs", strconv.Itoa(*info.Overs), fmt.Sprintf("must be a whole number from 1 to %d", maxNumber))
		}
	}
	return nil
}

func (m *matchReader) inningsAt(path string) error {
	var in MatchInnings
	seen := map[int]bool{}
	err := m.object(path, func(key string) error {
		if key != "overs" {
			return m.pass()
		}
		return m.array(path+".overs", func(path string) error {
			o, err := m.over(path, seen)
			if err == nil && len(o.Bowlers) > 0 {
				in.Overs = append(in.Overs, o)
			}
			return err
		})
	})
	m.out.Innings = append(m.out.Innings, in)
	return err
}

func (m *matchReader) over(path string, seen map[int]bool) (MatchOver, error) {
	var raw matchOver
	at, err := m.decode(path, &raw)
	if err != nil {
		return MatchOver{}, err
	}
	var out MatchOver
	switch {
	case raw.Over == nil:
		m.fault(at, path+".over", "", "a number is needed")
	case *raw.Over < 0 || *raw.Over >= maxNumber:
		m.fault(at, path+".over", strconv.Itoa(*raw.Over), fmt.Sprintf("must be a whole number from 0 to %d", maxNumber-1))
	case seen[*raw.Over]:
		m.fault(at, path+".over", strconv.Itoa(*raw.Over), "the over is in the innings twice")
	default:
		seen[*raw.Over] = true
		out.Over = *raw.Over + 1
	}
	bowlers := map[string]int{}
	for i := range raw.Deliveries {
		d := &raw.Deliveries[i]
		where := fmt.Sprintf("%s.deliveries[%d].bowler", path, i)
		if d.Bowler == nil || *d.Bowler == "" {
			m.fault(at, where, "", "a bowler is needed")
			continue
		}
		if reason := textReason([]byte(*d.Bowler)); reason != "" {
			m.fault(at, where, *d.Bowler, reason)
			continue
		}
		out.take(bowlers, *d.Bowler, d.valid())
	}
	return out, nil
}

// valid reports whether the delivery is one of the over: neither a wide nor a no-ball (MCC, Law 17 The over, 2017 Code).
func (d *delivery) valid() bool {
	_, wide := d.Extras["wides"]
	_, noBall := d.Extras["noballs"]
	return !wide && !noBall
}

// take notes a ball; bowlers holds the places of those who have bowled in the over.
func (o *MatchOver) take(bowlers map[string]int, name string, valid bool) {
	at, ok := bowlers[name]
	if !ok {
		at = len(o.Bowlers)
		bowlers[name] = at
		o.Bowlers = append(o.Bowlers, BowlerShare{Name: name})
	}
	o.Bowlers[at].Balls++
	if valid {
		o.Bowlers[at].Valid++
	}
}
