package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"runtime"
	"strconv"
	"sync"
	"unicode/utf8"

	"longspell/internal/domain"
)

// rowWriter appends JSON to a line and hands it on.
type rowWriter struct {
	out   *bufio.Writer
	line  []byte
	comma bool // a row of the list at hand has been written
	days  [512]dayText
}

// dayText is a date in quotation marks, kept because the same days come back in every list.
type dayText struct {
	date domain.Date
	text [12]byte
}

// begin begins a list.
func (w *rowWriter) begin() { w.comma = false }

// row begins a row of the list at hand.
func (w *rowWriter) row() *rowWriter {
	if w.comma {
		w.line = append(w.line, ',')
	}
	w.comma = true
	w.line = append(w.line, '\n')
	return w
}

func (w *rowWriter) flush() {
	_, _ = w.out.Write(w.line) // a bufio.Writer keeps its error for Flush
	w.line = w.line[:0]
}

const (
	rowsInBlock = 2048
	maxBlocks   = 8 // being made or waiting at a time
)

// list writes n rows in their order, blocks of them made side by side.
func (w *rowWriter) list(n int, rows func(w *rowWriter, from, to int)) {
	w.flush()
	blocks := make(chan chan *rowWriter, min(runtime.GOMAXPROCS(0), maxBlocks))
	rooms := sync.Pool{New: func() any { return new(rowWriter) }}
	comma := w.comma
	go func() {
		for from := 0; from < n; from += rowsInBlock {
			made := make(chan *rowWriter, 1)
			blocks <- made
			go func() {
				room := rooms.Get().(*rowWriter)
				room.line, room.comma = room.line[:0], comma || from > 0
				rows(room, from, min(from+rowsInBlock, n))
				made <- room
			}()
		}
		close(blocks)
	}()
	for made := range blocks {
		room := <-made
		_, _ = w.out.Write(room.line) // a bufio.Writer keeps its error for Flush
		rooms.Put(room)
		w.comma = true
	}
}

func (w *rowWriter) key(s string) *rowWriter {
	w.line = append(w.line, s...)
	return w
}

func (w *rowWriter) number(n int) { w.line = strconv.AppendInt(w.line, int64(n), 10) }

// numberUnless writes null for one value.
func (w *rowWriter) numberUnless(n, null int) {
	if n == null {
		w.line = append(w.line, "null"...)
		return
	}
	w.number(n)
}

func (w *rowWriter) date(d domain.Date) {
	if d.IsZero() {
		w.line = append(w.line, "null"...)
		return
	}
	day := &w.days[d.Serial()%len(w.days)]
	if day.date != d {
		day.date = d
		copy(day.text[:], `"`+d.String()+`"`)
	}
	w.line = append(w.line, day.text[:]...)
}

func (w *rowWriter) text(s string) {
	w.line = append(w.line, '"')
	from := len(w.line)
	w.line = append(w.line, s...)
	w.escapeFrom(from)
	w.line = append(w.line, '"')
}

// escapeFrom makes what was appended since from the inside of a JSON string.
func (w *rowWriter) escapeFrom(from int) {
	for _, b := range w.line[from:] {
		if b < ' ' || b == '"' || b == '\\' || b >= utf8.RuneSelf {
			s := string(w.line[from:])
			w.line = w.line[:from]
			w.value(s)
			w.line = append(w.line[:from], w.line[from+1:len(w.line)-1]...) // without its quotation marks
			return
		}
	}
}

// value appends anything as encoding/json writes it.
func (w *rowWriter) value(v any) {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("longspell: %v cannot be JSON: %v", v, err)) // texts and maps of texts always can
	}
	w.line = append(w.line, raw...)
}
