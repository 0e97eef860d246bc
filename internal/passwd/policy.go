package passwd

import (
	_ "embed"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"longspell/internal/domain"
)

// Lengths of a password that is the only factor: characters are Unicode code points, the upper bound is in bytes and only keeps
// the work small.
const (
	ShortestAlone = 15
	LongestBytes  = 1024
)

// contextLetters is how long a word of the context must be to matter; shorter ones stand in too many honest sentences.
const contextLetters = 4

//go:embed common.txt
var commonText string

// Check says whether a new password is accepted. context are words that somebody who knows the account would try: the product is
// always among them, the caller adds names of the person, club, region and child, and the e-mail address.
//
// A refusal is a domain error of kind invalid, code password_short, password_long, password_common or password_context, with the
// pointer /password.
func Check(password string, context ...string) error {
	switch {
	case !utf8.ValidString(password):
		return refuse("password_text", "This password holds bytes that are no text. Type it again.")
	case len(password) > LongestBytes:
		return refuse("password_long", fmt.Sprintf("This password is longer than %d bytes. Choose a shorter one.", LongestBytes))
	case utf8.RuneCountInString(password) < ShortestAlone:
		return refuse("password_short", fmt.Sprintf("A password needs at least %d characters. A few unconnected words are easy to remember.", ShortestAlone))
	}
	plain := squash(password)
	if common.made(plain) {
		return refuse("password_common", "This password is among the first that anybody would try. Choose another, such as a few unconnected words.")
	}
	for _, w := range contextWords(append([]string{"longspell"}, context...)) {
		if strings.Contains(plain, w) {
			return refuse("password_context", fmt.Sprintf("Leave %q out of the password: it is among the first that somebody who knows you would try.", w))
		}
	}
	return nil
}

func refuse(code, message string) error {
	return domain.Invalid(code, message, domain.FieldError{Pointer: "/password", Detail: message})
}

// squash makes small letters of capital ones and leaves out what is neither letter nor digit, so that "Pass-Word" is found.
func squash(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// contextWords are the words of the context, and each run of them written together.
func contextWords(context []string) []string {
	var out []string
	add := func(w string) {
		if utf8.RuneCountInString(w) >= contextLetters {
			out = append(out, w)
		}
	}
	for _, c := range context {
		add(squash(c))
		for _, w := range strings.FieldsFunc(c, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
			add(squash(w))
		}
	}
	return out
}
