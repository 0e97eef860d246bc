package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"unicode/utf8"

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
		return Match{}, m.errs
	}
	return m.out, nil
}

type matchReader struct {
	file string
	raw  []byte
	dec  *json.Decoder
	out  Match
	errs []LineError

	hasInfo, hasInnings bool
}

func (m *matchReader) fault(offset int64, path, value, reason string) {
	offset = min(max(offset, 0), int64(len(m.raw)))
	line := 1 + bytes.Count(m.raw[:offset], []byte{'\n'})
	m.errs = append(m.errs, LineError{File: m.file, Line: line, Column: path, Value: cut([]byte(value)), Reason: reason})
}

// checkText refuses what is not text in UTF-8 and what is nested too deeply, before anything is made of it.
func (m *matchReader) checkText() bool {
	m.raw = bytes.TrimPrefix(m.raw, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(m.raw) {
		at := 0
		for at < len(m.raw) {
			r, n := utf8.DecodeRune(m.raw[at:])
			if r == utf8.RuneError && n == 1 {
				break
			}
			at += n
		}
		m.fault(int64(at), "", string(m.raw[at:min(at+1, len(m.raw))]), "this is not text in UTF-8")
		return false
	}
	depth, inText := 0, false
	for i := 0; i < len(m.raw); i++ {
		switch b := m.raw[i]; {
		case inText && b == '\\':
			i++
		case b == '"':
			inText = !inText
		case inText:
		case b == '{' || b == '[':
			if depth++; depth > maxDepth {
				m.fault(int64(i), "", string(b), "the file is nested too deeply for a match")
				return false
			}
		case b == '}' || b == ']':
			depth--
		}
	}
	return true
}

func (m *matchReader) read() {
	err := m.object("", func(key string) error {
		switch key {
		case "info":
			m.hasInfo = true
			return m.info()
		case "innings":
			m.hasInnings = true
			return m.array("innings", m.inningsAt)
		}
		return m.pass()
	})
	if err != nil {
		m.refuse(err)
		return
	}
	end := m.dec.InputOffset()
	if rest := bytes.TrimSpace(m.raw[end:]); len(rest) > 0 {
		m.fault(end, "", string(rest[:min(len(rest), shownValue)]), "more stands after the match")
	}
	if !m.hasInfo {
		m.fault(0, "info", "", "is missing: this is not a ball-by-ball match file")
	}
	if !m.hasInnings {
		m.fault(0, "innings", "", "is missing: this is not a ball-by-ball match file")
	}
}

// refuse turns a decoder's error into a fault with its place.
func (m *matchReader) refuse(err error) {
	var syntax *json.SyntaxError
	var wrong *wrongType
	switch {
	case errors.As(err, &wrong):
		m.fault(wrong.offset, wrong.path, wrong.value, wrong.reason)
	case errors.As(err, &syntax):
		m.fault(m.dec.InputOffset(), "", "", "this is not JSON: "+syntax.Error())
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		m.fault(int64(len(m.raw)), "", "", "the file ends in the middle")
	default:
		m.fault(m.dec.InputOffset(), "", "", err.Error())
	}
}

// wrongType is a value that is not what the layout has at its place.
type wrongType struct {
	offset              int64
	path, value, reason string
}

func (w *wrongType) Error() string { return w.path + ": " + w.reason }

func (m *matchReader) object(path string, each func(key string) error) error {
	if err := m.opens(path, '{', "must be an object"); err != nil {
		return err
	}
	seen := map[string]bool{}
	for m.dec.More() {
		at := m.dec.InputOffset()
		t, err := m.dec.Token()
		if err != nil {
			return err
		}
		key, _ := t.(string)
		if seen[key] {
			return &wrongType{at, dot(path, key), key, "stands there twice"}
		}
		seen[key] = true
		if err := each(key); err != nil {
			return err
		}
	}
	_, err := m.dec.Token()
	return err
}

func (m *matchReader) array(path string, each func(path string) error) error {
	if err := m.opens(path, '[', "must be an array"); err != nil {
		return err
	}
	for i := 0; m.dec.More(); i++ {
		if err := each(fmt.Sprintf("%s[%d]", path, i)); err != nil {
			return err
		}
	}
	_, err := m.dec.Token()
	return err
}

func (m *matchReader) opens(path string, want json.Delim, reason string) error {
	t, err := m.dec.Token()
	if err != nil {
		return err
	}
	if t != want {
		return &wrongType{m.dec.InputOffset(), path, fmt.Sprint(t), reason}
	}
	return nil
}

func (m *matchReader) pass() error {
	var raw json.RawMessage
	return m.dec.Decode(&raw)
}

// decode reads the next value; a value of another type is named by its path.
func (m *matchReader) decode(path string, into any) (at int64, err error) {
	at = m.valueAt()
	err = m.dec.Decode(into)
	var bad *json.UnmarshalTypeError
	if errors.As(err, &bad) {
		return at, &wrongType{m.dec.InputOffset(), dot(path, bad.Field), bad.Value, "must be " + plainType(bad.Type.String())}
	}
	return at, err
}

// valueAt is where the next value begins.
func (m *matchReader) valueAt() int64 {
	at := m.dec.InputOffset()
	for at < int64(len(m.raw)) && bytes.IndexByte([]byte(" \t\r\n:,"), m.raw[at]) >= 0 {
		at++
	}
	return at
}

func plainType(t string) string {
	switch t {
	case "int":
		return "a whole number"
	case "string":
		return "text"
	}
	return "of another type"
}

func dot(path, key string) string {
	if path == "" || key == "" {
		return path + key
	}
	return path + "." + key
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
		out.take(*d.Bowler, d.valid())
	}
	return out, nil
}

// valid reports whether the delivery is one of the over: neither a wide nor a no-ball (MCC, Law 17 The over, 2017 Code).
func (d *delivery) valid() bool {
	_, wide := d.Extras["wides"]
	_, noBall := d.Extras["noballs"]
	return !wide && !noBall
}

func (o *MatchOver) take(name string, valid bool) {
	at := -1
	for i := range o.Bowlers {
		if o.Bowlers[i].Name == name {
			at = i
		}
	}
	if at < 0 {
		at = len(o.Bowlers)
		o.Bowlers = append(o.Bowlers, BowlerShare{Name: name})
	}
	o.Bowlers[at].Balls++
	if valid {
		o.Bowlers[at].Valid++
	}
}
