package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// matchReader walks through a match file and remembers what was wrong and where.
type matchReader struct {
	file string
	raw  []byte
	dec  *json.Decoder
	out  Match
	errs []LineError
	more int // faults beyond MaxListed

	line, lineAt int64 // the line at a place, from which later places are counted on

	hasInfo, hasInnings bool
}

func (m *matchReader) fault(offset int64, path, value, reason string) {
	if len(m.errs) >= MaxListed {
		m.more++
		return
	}
	offset = min(max(offset, 0), int64(len(m.raw)))
	if offset < m.lineAt {
		m.line, m.lineAt = 0, 0
	}
	m.line += int64(bytes.Count(m.raw[m.lineAt:offset], []byte{'\n'}))
	m.lineAt = offset
	m.errs = append(m.errs, LineError{File: m.file, Line: int(m.line) + 1, Column: path, Value: cut([]byte(value)), Reason: reason})
}

// faults is what was wrong with the file.
func (m *matchReader) faults() []LineError {
	if m.more > 0 {
		m.errs = append(m.errs, LineError{File: m.file, Line: int(m.line) + 1, Reason: notListed(m.more)})
	}
	return m.errs
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
