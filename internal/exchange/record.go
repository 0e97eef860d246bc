package exchange

import (
	"bytes"
	"errors"
	"io"
)

// MaxRecord is the longest record of a CSV file, in bytes.
const MaxRecord = 1 << 20

const firstBuffer = 256 << 10

// records takes a CSV file apart, record by record, holding one at a time. Empty lines are passed over.
type records struct {
	src    io.Reader
	buf    []byte
	at     int // first byte not taken yet
	end    int // end of what has been read
	eof    bool
	broken error // of reading itself

	line   int      // line of the next byte
	start  int      // line on which the record at hand begins
	fields [][]byte // of the record at hand, valid until the next one
	plain  []byte   // room for fields that had quotation marks in them

	fault func(line, field int, value []byte, reason string)
}

func newRecords(src io.Reader, fault func(line, field int, value []byte, reason string)) *records {
	rs := &records{src: src, buf: make([]byte, firstBuffer), line: 1, fault: fault}
	for rs.end < 3 && rs.fill() {
	}
	if bytes.HasPrefix(rs.buf[:rs.end], []byte("\xef\xbb\xbf")) {
		rs.at = 3
	}
	return rs
}

// fill reads on, making room first. It reports false at the end of the file.
func (rs *records) fill() bool {
	if rs.eof {
		return false
	}
	if rs.end == len(rs.buf) {
		if rs.at > 0 {
			copy(rs.buf, rs.buf[rs.at:rs.end])
			rs.end -= rs.at
			rs.at = 0
		} else {
			rs.buf = append(rs.buf, make([]byte, len(rs.buf))...)
		}
	}
	n, err := rs.src.Read(rs.buf[rs.end:])
	rs.end += n
	if err != nil {
		rs.eof = true
		if !errors.Is(err, io.EOF) {
			rs.broken = err
		}
	}
	return n > 0 || !rs.eof
}

// next takes the next whole record. Records that cannot be taken apart are told to fault and passed over.
func (rs *records) next() bool {
	for {
		line, ok := rs.peekLine()
		if !ok {
			return false
		}
		rs.start = rs.line
		switch {
		case line == nil:
			rs.tooLong()
		case len(line) == 0:
			rs.skip(0)
		case bytes.IndexByte(line, '"') < 0:
			rs.split(line)
			return true
		default:
			if rs.quoted() {
				return true
			}
		}
	}
}

// peekLine gives the line that begins at at, without its end; nil where it is longer than a record may be. ok is false at the
// end of the file.
func (rs *records) peekLine() (line []byte, ok bool) {
	scanned := 0
	for {
		if i := bytes.IndexByte(rs.buf[rs.at+scanned:rs.end], '\n'); i >= 0 {
			if n := scanned + i; n <= MaxRecord {
				return trimCR(rs.buf[rs.at : rs.at+n]), true
			}
			return nil, true
		}
		scanned = rs.end - rs.at
		if scanned > MaxRecord {
			return nil, true
		}
		if !rs.fill() && rs.eof {
			rest := rs.buf[rs.at:rs.end]
			return trimCR(rest), len(rest) > 0
		}
	}
}

func trimCR(line []byte) []byte {
	if n := len(line); n > 0 && line[n-1] == '\r' {
		return line[:n-1]
	}
	return line
}

// skip goes on after the next line end that stands from bytes on or later.
func (rs *records) skip(from int) {
	for {
		if i := bytes.IndexByte(rs.buf[rs.at+from:rs.end], '\n'); i >= 0 {
			rs.at += from + i + 1
			rs.line++
			return
		}
		rs.at, from = rs.end, 0
		if !rs.fill() && rs.eof {
			return
		}
	}
}

// split takes a line without quotation marks apart.
func (rs *records) split(line []byte) {
	rs.fields = rs.fields[:0]
	from := 0
	for i, b := range line {
		if b == ',' {
			rs.fields = append(rs.fields, line[from:i:i])
			from = i + 1
		}
	}
	rs.fields = append(rs.fields, line[from:len(line):len(line)])
	rs.at += len(line)
	if rs.at < rs.end && rs.buf[rs.at] == '\r' {
		rs.at++
	}
	if rs.at < rs.end { // the line end itself
		rs.at++
	}
	rs.line++
}

func (rs *records) tooLong() {
	head := rs.buf[rs.at : rs.at+MaxRecord]
	field := bytes.Count(head, []byte{','})
	from := bytes.LastIndexByte(head, ',') + 1
	rs.fault(rs.start, field, head[from:], "the line is longer than 1 MiB")
	rs.skip(MaxRecord)
}

// quoted takes a record with quotation marks apart, over as many lines as it runs. Where that fails, the fault is told and
// reading goes on with the line after the one on which the record begins.
func (rs *records) quoted() bool {
	rs.fields, rs.plain = rs.fields[:0], rs.plain[:0]
	q := quotedRecord{rs: rs}
	if !q.take() {
		rs.skip(0)
		return false
	}
	rs.at += q.i
	rs.line += q.lines
	return true
}

// quotedRecord is the state of taking one record apart. Fields are kept as places in rs.plain until it is whole, because
// both buffers may move while it grows.
type quotedRecord struct {
	rs     *records
	i      int // next byte, counted from rs.at
	start  int // first byte of the field at hand
	lines  int // line ends taken
	places [][2]int
}

// peek gives the next byte; ok is false at the end of the file.
func (q *quotedRecord) peek() (b byte, ok bool) {
	for q.rs.at+q.i >= q.rs.end {
		if !q.rs.fill() && q.rs.eof {
			return 0, false
		}
	}
	return q.rs.buf[q.rs.at+q.i], true
}

func (q *quotedRecord) take() bool {
	for {
		from := len(q.rs.plain)
		q.start = q.i
		b, ok := q.peek()
		if ok && b == '"' {
			if !q.takeQuoted() {
				return false
			}
		} else if !q.takeBare(from) {
			return false
		}
		q.places = append(q.places, [2]int{from, len(q.rs.plain)})
		b, ok = q.peek()
		if ok && b == ',' {
			q.i++
			continue
		}
		q.takeLineEnd()
		break
	}
	for _, p := range q.places {
		q.rs.fields = append(q.rs.fields, q.rs.plain[p[0]:p[1]:p[1]])
	}
	return true
}

// takeLineEnd goes past LF or CRLF.
func (q *quotedRecord) takeLineEnd() {
	if b, ok := q.peek(); ok && b == '\r' {
		q.i++
	}
	if b, ok := q.peek(); ok && b == '\n' {
		q.i++
	}
	q.lines++
}

// takeBare takes a field without quotation marks around it.
func (q *quotedRecord) takeBare(from int) bool {
	for {
		b, ok := q.peek()
		switch {
		case !ok || b == ',' || b == '\n':
			if n := len(q.rs.plain); b == '\n' && n > from && q.rs.plain[n-1] == '\r' {
				q.rs.plain = q.rs.plain[:n-1]
			}
			return true
		case b == '"':
			return q.fail("a quotation mark stands inside a field that does not begin with one")
		}
		q.rs.plain = append(q.rs.plain, b)
		q.i++
		if q.i > MaxRecord {
			return q.fail("the record is longer than 1 MiB")
		}
	}
}

// takeQuoted takes a field in quotation marks; two of them inside stand for one.
func (q *quotedRecord) takeQuoted() bool {
	q.i++
	for {
		b, ok := q.peek()
		if !ok {
			return q.fail("a quotation mark is opened and never closed")
		}
		q.i++
		if q.i > MaxRecord {
			return q.fail("the record is longer than 1 MiB")
		}
		if b != '"' {
			if b == '\n' {
				q.lines++
			}
			q.rs.plain = append(q.rs.plain, b)
			continue
		}
		after, ok := q.peek()
		if ok && after == '"' {
			q.rs.plain = append(q.rs.plain, '"')
			q.i++
			continue
		}
		if ok && after == '\r' {
			q.i++
			b, ok := q.peek()
			q.i--
			if ok && b != '\n' {
				return q.fail("a quotation mark is closed before the field ends")
			}
			return true
		}
		if ok && after != ',' && after != '\n' {
			return q.fail("a quotation mark is closed before the field ends")
		}
		return true
	}
}

// fail tells the field at hand as it stands in the file, up to what ends it.
func (q *quotedRecord) fail(reason string) bool {
	raw := q.rs.buf[q.rs.at+q.start : q.rs.end]
	if end := bytes.IndexAny(raw[min(q.i-q.start, len(raw)):], ",\r\n"); end >= 0 {
		raw = raw[:q.i-q.start+end]
	}
	q.rs.fault(q.rs.start, len(q.places), raw, reason)
	return false
}
