package exchange

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// takeApart reads records as "line: [fields]" and faults as "line/field: reason".
func takeApart(r io.Reader) (got []string, faults []string) {
	rs := newRecords(r, func(line, field int, value []byte, reason string) {
		faults = append(faults, fmt.Sprintf("%d/%d: %s", line, field, reason))
	})
	for rs.next() {
		got = append(got, fmt.Sprintf("%d: %q", rs.start, rs.fields))
	}
	return got, faults
}

// TestRecords: the grammar is that of RFC 4180 (Y. Shafranovich, Common Format and MIME Type for CSV Files, 2005,
// rfc-editor.org/rfc/rfc4180), with LF taken for CRLF and a byte order mark passed over.
func TestRecords(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name, text string
		want       []string
		faults     []string
	}{
		{"no line end at the end", "a,b\n1,2", []string{`1: ["a" "b"]`, `2: ["1" "2"]`}, nil},
		{"CRLF", "a,b\r\n1,2\r\n", []string{`1: ["a" "b"]`, `2: ["1" "2"]`}, nil},
		{"byte order mark", "\xef\xbb\xbfa,b\n", []string{`1: ["a" "b"]`}, nil},
		{"byte order mark before a quotation mark", "\xef\xbb\xbf\"a\",b\n", []string{`1: ["a" "b"]`}, nil},
		{"empty fields", ",\n,,\n", []string{`1: ["" ""]`, `2: ["" "" ""]`}, nil},
		{"empty lines", "a\n\n\r\nb\n", []string{`1: ["a"]`, `4: ["b"]`}, nil},
		{"quoted", `"a,b","c""d",""` + "\n", []string{`1: ["a,b" "c\"d" ""]`}, nil},
		{"quoted line ends", "\"a\nb\",c\r\n\"x\r\ny\"\r\nz\n", []string{`1: ["a\nb" "c"]`, `3: ["x\r\ny"]`, `5: ["z"]`}, nil},
		{"quoted at the end of the file", `a,"b"`, []string{`1: ["a" "b"]`}, nil},
		{"a quotation mark inside", "a\"b,c\nd,e\n", []string{`2: ["d" "e"]`}, []string{"1/0: a quotation mark stands inside a field that does not begin with one"}},
		{"text after a quotation mark", "c,\"a\"b\nd,e\n", []string{`2: ["d" "e"]`}, []string{"1/1: a quotation mark is closed before the field ends"}},
		{"never closed", "a,b\nc,\"d\ne,f\n", []string{`1: ["a" "b"]`, `3: ["e" "f"]`}, []string{"2/1: a quotation mark is opened and never closed"}},
		{"nothing", "", nil, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			for name, r := range map[string]io.Reader{"whole": strings.NewReader(c.text), "byte by byte": iotest.OneByteReader(strings.NewReader(c.text)),
				"the end with the data": iotest.DataErrReader(strings.NewReader(c.text))} {
				got, faults := takeApart(r)
				if d := cmp.Diff(c.want, got); d != "" {
					t.Errorf("%s: %s", name, d)
				}
				if d := cmp.Diff(c.faults, faults); d != "" {
					t.Errorf("%s: %s", name, d)
				}
			}
		})
	}
}

func TestLongRecords(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("x", 2<<20)
	fits := strings.Repeat("x", MaxRecord-10)
	cases := []struct {
		name, text string
		lines      string
		faults     []string
	}{
		{"one line of 2 MiB", "a,b\n1," + long + ",3\nc,d\n", "1 3", []string{"2/1: the line is longer than 1 MiB"}},
		{"one line of 2 MiB and nothing after it", "a,b\n1," + long, "1", []string{"2/1: the line is longer than 1 MiB"}},
		{"a quoted field of 2 MiB in lines", "a,b\n1,\"" + strings.Repeat(strings.Repeat("x", 999)+"\n", 2000) + "\"\n", "", nil},
		{"as long as may be", "a,b\n" + fits + ",1\nc,d\n", "1 2 3", nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got, faults := takeApart(strings.NewReader(c.text))
			if c.lines == "" {
				if len(faults) == 0 || faults[0] != "2/1: the record is longer than 1 MiB" {
					t.Fatalf("faults %.200v", faults)
				}
				return
			}
			var lines []string
			for _, g := range got {
				lines = append(lines, g[:strings.Index(g, ":")])
			}
			if strings.Join(lines, " ") != c.lines || cmp.Diff(c.faults, faults) != "" {
				t.Errorf("lines %v, faults %v", lines, faults)
			}
		})
	}
}

func TestReadingThatBreaksOff(t *testing.T) {
	t.Parallel()
	r := io.MultiReader(strings.NewReader("player,born\np1,\n"), iotest.ErrReader(fmt.Errorf("the disk is gone")))
	_, errs := ReadPlayers("p.csv", r)
	if len(errs) != 1 || !strings.Contains(errs[0].Error(), "the disk is gone") {
		t.Errorf("faults %v", errs)
	}
}

// TestAgainstAnotherWriter: what encoding/csv of the standard library writes, this reader reads back.
func TestAgainstAnotherWriter(t *testing.T) {
	t.Parallel()
	field := rapid.StringMatching(`[a-c ,"é\n\r]{0,5}`)
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.SliceOfN(rapid.SliceOfN(field, 2, 4), 0, 6).Draw(t, "rows")
		for _, crlf := range []bool{false, true} {
			var buf bytes.Buffer
			w := csv.NewWriter(&buf)
			w.UseCRLF = crlf
			if err := w.WriteAll(rows); err != nil {
				t.Fatal(err)
			}
			other := csv.NewReader(bytes.NewReader(buf.Bytes()))
			other.FieldsPerRecord = -1
			want, err := other.ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			var got [][]string
			rs := newRecords(iotest.HalfReader(bytes.NewReader(buf.Bytes())), func(line, field int, _ []byte, reason string) {
				t.Fatalf("line %d, field %d: %s", line, field, reason)
			})
			for rs.next() {
				var row []string
				for _, f := range rs.fields {
					// encoding/csv takes CRLF inside quotation marks for LF; here a value stays what it is.
					row = append(row, strings.ReplaceAll(string(f), "\r\n", "\n"))
				}
				got = append(got, row)
			}
			if d := cmp.Diff(want, got); d != "" {
				t.Fatalf("%q: %s", buf.String(), d)
			}
		}
	})
}
