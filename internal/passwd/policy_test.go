package passwd

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"longspell/internal/domain"
)

func TestCheck(t *testing.T) {
	t.Parallel()
	context := []string{"Nadia Holloway", "nadia@wren.example", "Wrenfield CC"}
	for password, want := range map[string]string{
		"marble kettle orbit thirteen":              "",
		"zwölf grüne Wale":                          "",
		"kettlemarbleorb":                           "",
		"Bq7#vKp2!mZr9$x":                           "",
		strings.Repeat("kettle-marble ", 70):        "",
		"日本語のとても長いあいことばです":                          "",
		"kettle marble!":                            "password_short",
		"日本語のながいことば":                                "password_short",
		"":                                          "password_short",
		strings.Repeat("a wholly new line ", 60):    "password_long",
		"kettle marble \xff orbit":                  "password_text",
		"password12345678":                          "password_common",
		"PassWord-2026-PassWord":                    "password_common",
		"qwertyuiopasdfghjkl":                       "password_common",
		"123456789012345":                           "password_common",
		"aaaaaaaaaaaaaaaaaaaa":                      "password_common",
		"iloveyouiloveyou":                          "password_common",
		"cricketcricket2026":                        "password_common",
		"To be, or not to be: that is the question": "password_common",
		"Correct horse battery staple":              "password_common",
		"               ":                           "password_common",
		"987654321987654321":                        "password_common",
		"marble longspell orbit":                    "password_context",
		"marble LONG-SPELL orbit":                   "password_context",
		"holloway kettle orbit":                     "password_context",
		"kettle nadiaholloway":                      "password_context",
		"the kettle of Wrenfield":                   "password_context",
	} {
		err := Check(password, context...)
		if got := domain.ErrorCodeOf(err); got != want {
			t.Errorf("%.60q: %q, want %q (%v)", password, got, want, err)
		}
		if err != nil && domain.ErrorKindOf(err) != domain.KindInvalid {
			t.Errorf("%.60q: %v, want invalid", password, err)
		}
	}
}

// Everything that the list stands for and that is long enough is refused: whole phrases, and each piece with the tails that people
// give it.
func TestEveryEntryOfTheListIsRefused(t *testing.T) {
	t.Parallel()
	tails := []string{"", "1", "12", "123", "1234", "12345", "123456", "1234567", "12345678", "123456789", "1234567890", "123456789012", "1999", "2020", "2024",
		"2025", "2026", "!", "123!", "0000", "1111", "aaaa", "abc123", "abcdefgh", "qwerty", "qwertyuiop", "password", "Password1", "letmein"}
	tried := 0
	refused := func(p string) {
		if utf8.RuneCountInString(p) < ShortestAlone {
			return
		}
		tried++
		if domain.ErrorCodeOf(Check(p)) != "password_common" {
			t.Errorf("%q is accepted", p)
		}
	}
	for phrase := range common.phrases {
		refused(phrase)
	}
	for w := range common.words {
		for _, tail := range tails {
			refused(w + tail)
			refused(strings.ToUpper(w[:1]) + w[1:] + tail)
			refused(w + w + tail)
			refused(w + w + w + tail)
		}
	}
	if tried < 3000 {
		t.Errorf("%d tried; the rule asks for 3,000", tried)
	}
}

// Letters in no order, without neighbours of the alphabet among them, are accepted whatever their script: no rule refuses by accident.
func TestPasswordsInNoOrderAreAccepted(t *testing.T) {
	t.Parallel()
	letters := []rune("bdfhjlnprtvxzßäéïñö日本語куз ,.-_#+")
	rapid.Check(t, func(r *rapid.T) {
		p := string(rapid.Permutation(letters).Draw(r, "password"))
		if err := Check(p); err != nil {
			r.Fatalf("%q: %v", p, err)
		}
	})
}

// Pieces that are made of other pieces can be laid in more ways than could ever be tried one by one.
func TestManyWaysToLayPiecesAreTriedOnce(t *testing.T) {
	t.Parallel()
	p := strings.Repeat("iloveyou", 127)
	if domain.ErrorCodeOf(Check(p)) != "password_common" {
		t.Errorf("%q is accepted", p)
	}
	if err := Check(p + "ж"); err != nil {
		t.Errorf("with a letter that no piece has: %v", err)
	}
}

func FuzzCheck(f *testing.F) {
	for _, s := range []string{"", "password12345678", strings.Repeat("a1", 600), "\xff", strings.Repeat("iloveyou", 200)} {
		f.Add(s, "context")
	}
	f.Fuzz(func(t *testing.T, password, context string) {
		if err := Check(password, context); err == nil && utf8.RuneCountInString(password) < ShortestAlone {
			t.Errorf("%q is accepted", password)
		}
	})
}
