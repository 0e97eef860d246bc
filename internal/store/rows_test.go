package store

import (
	"fmt"
	"reflect"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/domain"
)

const someRegion = domain.ID("019e0c2d-f900-7213-bace-b389c3580bfe")

// back is a round trip of one kind of thing through its row, with the fields that are for reading only.
type back struct {
	of       any
	readOnly []string
	trip     func(any) any
}

func trip[T any](f func(T) T, readOnly ...string) back {
	var zero T
	return back{of: zero, readOnly: readOnly, trip: func(v any) any { return f(v.(T)) }}
}

var trips = []back{
	trip(func(v domain.Account) domain.Account { return accountRowOf(v).domain() }),
	trip(func(v domain.Login) domain.Login { return loginRowOf(v).domain() }),
	trip(func(v domain.RefreshToken) domain.RefreshToken { return refreshTokenRowOf(v).domain() }),
	trip(func(v domain.Region) domain.Region { return regionRowOf(v).domain() }),
	trip(func(v domain.Season) domain.Season { return seasonRowOf(someRegion, v).domain() }),
	trip(func(v domain.Adoption) domain.Adoption { return adoptionRowOf(someRegion, v).domain() }),
	trip(func(v domain.Club) domain.Club { return clubRowOf(someRegion, v).domain() }),
	trip(func(v domain.Squad) domain.Squad { return squadRowOf(someRegion, v).domain() }, "PlayerCount"),
	trip(func(v domain.SquadPlayer) domain.SquadPlayer { return squadPlayerRowOf(someRegion, v).domain() }),
	trip(func(v domain.Player) domain.Player { return playerRowOf(someRegion, v).domain() }),
	trip(func(v domain.Registration) domain.Registration { return registrationRowOf(someRegion, v).domain() }, "ClubName"),
	trip(func(v domain.Appointment) domain.Appointment { return appointmentRowOf(v.RegionID, v).domain() }, "RegionName", "Holder",
		"ClubName", "SquadName"),
	trip(func(v domain.Outing) domain.Outing { return outingRowOf(someRegion, v).domain() }, "Attendance", "Overs", "Spells", "Practice",
		"PresentCount", "Balls", "LoggedByName"),
	trip(func(v domain.Attendance) domain.Attendance {
		return attendanceRowOf(someRegion, someRegion, v).domain()
	}),
	trip(func(v domain.OverLog) domain.OverLog { return overRowOf(someRegion, v).domain() }),
	trip(func(v domain.QuickSpell) domain.QuickSpell { return spellRowOf(someRegion, v).domain() }),
	trip(func(v domain.Practice) domain.Practice { return practiceRowOf(someRegion, v).domain() }),
	trip(func(v domain.Correction) domain.Correction { return correctionRowOf(someRegion, v).domain() }, "ByName"),
	trip(func(v domain.DayLoad) domain.DayLoad {
		return dayLoadRow{PlayerID: v.PlayerID, Day: dayOf(v.Day), Kind: v.Kind.String(), Balls: v.Balls, Valid: v.Valid, Overs: v.Overs}.domain()
	}),
	trip(func(v domain.Notice) domain.Notice { return noticeRowOf(someRegion, v).domain() }, "Facts", "TakenUpByName", "EndedByName"),
	trip(func(v domain.NoticeFact) domain.NoticeFact { return noticeFactRowOf(someRegion, v).domain() }),
	trip(func(v domain.AuditEntry) domain.AuditEntry { return auditRowOf(someRegion, v).domain() }, "ByName"),
}

// No field of a thing is lost or crossed with another on its way through the row; a field that is added to the domain
// and forgotten here fails.
func TestRowsKeepEveryField(t *testing.T) {
	t.Parallel()
	for _, b := range trips {
		full := reflect.New(reflect.TypeOf(b.of)).Elem()
		n := 0
		fill(t, full, &n)
		for _, name := range b.readOnly {
			full.FieldByName(name).SetZero()
		}
		for i := range full.NumField() {
			if f := full.Type().Field(i); full.Field(i).IsZero() && !contains(b.readOnly, f.Name) {
				t.Errorf("%s.%s was not filled", full.Type(), f.Name)
			}
		}
		for what, v := range map[string]any{"full": full.Interface(), "empty": reflect.Zero(full.Type()).Interface()} {
			if d := cmp.Diff(v, b.trip(v), cmp.AllowUnexported(domain.Date{})); d != "" {
				t.Errorf("%s %s (-before +after):\n%s", what, full.Type(), d)
			}
		}
	}
}

func contains(list []string, s string) bool {
	for _, v := range list {
		if v == s {
			return true
		}
	}
	return false
}

// fill gives every field a value that no other field has, as far as its type has enough of them.
func fill(t *testing.T, v reflect.Value, n *int) {
	t.Helper()
	*n++
	switch p := v.Addr().Interface().(type) {
	case *domain.Date:
		*p = domain.MustDate("2026-01-01").AddDays(*n)
		return
	case *time.Time:
		*p = time.Date(2026, 5, 9, 1, 2, 3, *n*1000, time.UTC)
		return
	case *domain.BowlingKind:
		*p = domain.BowlingKinds()[*n%4]
		return
	case *domain.End:
		*p = domain.EndB
		return
	case *map[string]string:
		*p = map[string]string{fmt.Sprint("k", *n): "<&\" ü", "b": ""}
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprint("text ", *n))
	case reflect.Int:
		v.SetInt(int64(*n))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, v.Field(i), n)
		}
	default:
		t.Fatalf("nothing to fill a %s with", v.Type())
	}
}

func TestSearchForm(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{"": "", " -- ": "", "Anna  O'Wren-Ash": " anna o wren ash", "ÉLODIE 2%_": " élodie 2"} {
		if got := searchForm(name); got != want {
			t.Errorf("searchForm(%q) = %q, want %q", name, got, want)
		}
	}
}

func TestColumnsReadWhatEitherDriverGives(t *testing.T) {
	t.Parallel()
	at := time.Date(2026, 5, 9, 23, 30, 0, 123456000, time.FixedZone("", 3600))
	var i instant
	if err := i.Scan(at); err != nil || i != "2026-05-09T22:30:00.123456Z" || !i.time().Equal(at) {
		t.Errorf("instant %q, %v", i, err)
	}
	var d day
	if err := d.Scan(time.Date(2026, 5, 9, 0, 0, 0, 0, time.UTC)); err != nil || d != "2026-05-09" {
		t.Errorf("day %q, %v", d, err)
	}
	for _, dst := range []interface{ Scan(any) error }{new(instant), new(day), new(uid), new(words)} {
		if err := dst.Scan(3.5); err == nil {
			t.Errorf("%T reads a number", dst)
		}
		if err := dst.Scan(nil); err != nil || !reflect.ValueOf(dst).Elem().IsZero() {
			t.Errorf("%T of NULL: %v", dst, err)
		}
		if err := dst.Scan([]byte("x")); err != nil || reflect.ValueOf(dst).Elem().String() != "x" {
			t.Errorf("%T of bytes: %v", dst, err)
		}
	}
}

// Text that is no id matches nothing and never becomes part of a list.
func TestAmongTakesIdsAlone(t *testing.T) {
	t.Parallel()
	none := "00000000-0000-0000-0000-000000000000"
	ids := []domain.ID{`"],x`, "}", someRegion, "019E0C2D-F900-7213-BACE-B389C3580BFE"}
	for d, want := range map[dialect]string{
		sqliteDialect{}:   `["` + none + `","` + none + `","` + string(someRegion) + `","` + string(someRegion) + `"]`,
		postgresDialect{}: "{" + none + "," + none + "," + string(someRegion) + "," + string(someRegion) + "}",
	} {
		if c := d.among("player.id", ids); len(c.args) != 1 || c.args[0] != want {
			t.Errorf("%s: %v, want %s", d.name(), c.args, want)
		}
		if got := d.among("player.id", nil); got.sql != nothing.sql {
			t.Errorf("%s: none gives %q", d.name(), got.sql)
		}
	}
}
