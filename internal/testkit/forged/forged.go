// Package forged writes access tokens that must be refused: what RFC 8725 ("JSON Web Token Best Current Practices", IETF, February
// 2020, https://www.rfc-editor.org/info/rfc8725) warns of, and what the years since have added. Some are signed with the right
// secret, so that they test the rules and not the signature alone.
package forged

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/base64"
	"fmt"
	"hash"
	"strings"
	"time"
)

// Of is the genuine article that the forgeries are made from.
type Of struct {
	KeyID          string
	Secret         []byte
	Issuer         string
	Audience       string
	Type           string
	Account, Login string
	Now            time.Time
	Life           time.Duration // the longest life of a genuine token
	Genuine        string        // a genuine token that is valid at Now
}

// Tokens gives every forgery by what is wrong with it.
func (o Of) Tokens() map[string]string {
	out := map[string]string{}
	o.algorithms(out)
	o.headers(out)
	o.claims(out)
	o.times(out)
	o.shapes(out)
	return out
}

func b64(s string) string { return base64.RawURLEncoding.EncodeToString([]byte(s)) }

func (o Of) mac(h func() hash.Hash, secret []byte, header, payload string) string {
	text := b64(header) + "." + b64(payload)
	m := hmac.New(h, secret)
	m.Write([]byte(text))
	return text + "." + base64.RawURLEncoding.EncodeToString(m.Sum(nil))
}

// signed is signed with the right secret, whatever it says.
func (o Of) signed(header, payload string) string {
	return o.mac(sha256.New, o.Secret, header, payload)
}

func (o Of) header() string {
	return fmt.Sprintf(`{"alg":"HS256","kid":%q,"typ":%q}`, o.KeyID, o.Type)
}

func (o Of) payload() string { return o.payloadAt(o.Now, o.Now.Add(o.Life)) }

func (o Of) payloadAt(issued, expires time.Time) string {
	return fmt.Sprintf(`{"iss":%q,"sub":%q,"aud":[%q],"exp":%d,"iat":%d,"jti":"0198f0c0-0000-7000-8000-000000000001","sid":%q}`,
		o.Issuer, o.Account, o.Audience, expires.Unix(), issued.Unix(), o.Login)
}

func (o Of) algorithms(out map[string]string) {
	unsigned := func(alg string) string { return strings.Replace(o.header(), "HS256", alg, 1) }
	for _, alg := range []string{"none", "NONE", "nOnE", "None", ""} {
		out["alg "+alg+", no signature"] = b64(unsigned(alg)) + "." + b64(o.payload()) + "."
		out["alg "+alg+", signed"] = o.signed(unsigned(alg), o.payload())
	}
	out["no alg"] = o.signed(strings.Replace(o.header(), `"alg":"HS256",`, "", 1), o.payload())
	out["alg hs256 in small letters"] = o.signed(unsigned("hs256"), o.payload())
	out["alg HS384, rightly signed"] = o.mac(sha512.New384, o.Secret, unsigned("HS384"), o.payload())
	out["alg HS512, rightly signed"] = o.mac(sha512.New, o.Secret, unsigned("HS512"), o.payload())
	for _, alg := range []string{"RS256", "ES256", "PS256", "EdDSA"} {
		out["alg "+alg+" with our secret as if it were its key"] = o.signed(unsigned(alg), o.payload())
	}
	if key, err := rsa.GenerateKey(rand.Reader, 2048); err == nil {
		out["the public key of a stranger as the secret"] = o.mac(sha256.New, key.N.Bytes(), o.header(), o.payload())
	}
}

func (o Of) headers(out map[string]string) {
	with := func(from, to string) string { return o.signed(strings.Replace(o.header(), from, to, 1), o.payload()) }
	for _, typ := range []string{"JWT", "AT+JWT", "at+jwt ", "application/at+jwt", "refresh+jwt", ""} {
		out["typ "+typ] = with(`"typ":"`+o.Type+`"`, `"typ":"`+typ+`"`)
	}
	out["no typ"] = with(fmt.Sprintf(`,"typ":%q`, o.Type), "")
	for _, kid := range []string{"", "nobody", "../../../../dev/null", "/dev/null", "' OR 1=1 --", o.KeyID + "\\u0000", strings.ToUpper(o.KeyID) + "_"} {
		out["kid "+kid] = with(`"kid":"`+o.KeyID+`"`, `"kid":"`+kid+`"`)
	}
	out["no kid"] = with(fmt.Sprintf(`"kid":%q,`, o.KeyID), "")
	out["kid as a list"] = with(fmt.Sprintf(`"kid":%q`, o.KeyID), fmt.Sprintf(`"kid":[%q]`, o.KeyID))
	jwk := `"jwk":{"kty":"oct","k":"` + base64.RawURLEncoding.EncodeToString(o.Secret) + `"},`
	for name, extra := range map[string]string{
		"jwk in the header":       jwk,
		"jku in the header":       `"jku":"https://keys.example/jwks.json",`,
		"x5u in the header":       `"x5u":"https://keys.example/chain.pem",`,
		"x5c in the header":       `"x5c":["MIIB"],`,
		"crit in the header":      `"crit":["exp"],`,
		"b64 false in the header": `"b64":false,`,
		"alg twice":               `"alg":"none",`,
		"cty in the header":       `"cty":"JWT",`,
	} {
		out[name] = o.signed("{"+extra+o.header()[1:], o.payload())
	}
	out["a space in the header"] = o.signed(" "+o.header(), o.payload())
}

func (o Of) claims(out map[string]string) {
	with := func(from, to string) string {
		return o.signed(o.header(), strings.Replace(o.payload(), from, to, 1))
	}
	aud, iss := fmt.Sprintf(`"aud":[%q]`, o.Audience), fmt.Sprintf(`"iss":%q`, o.Issuer)
	out["aud of another service"] = with(aud, `"aud":["elsewhere"]`)
	out["no aud"] = with(aud+",", "")
	out["empty aud"] = with(aud, `"aud":[]`)
	out["iss of a stranger"] = with(iss, `"iss":"https://stranger.example"`)
	out["iss in capital letters"] = with(iss, fmt.Sprintf(`"iss":%q`, strings.ToUpper(o.Issuer)))
	out["no iss"] = with(iss+",", "")
	out["no sub"] = with(fmt.Sprintf(`"sub":%q,`, o.Account), "")
	out["sub that is no id"] = with(o.Account, "admin")
	out["sub twice"] = with(`{"iss"`, `{"sub":"0198f0c0-0000-7000-8000-00000000dead","iss"`)
	out["exp twice"] = with(`{"iss"`, `{"exp":99999999999,"iss"`)
	out["no sid"] = with(fmt.Sprintf(`,"sid":%q`, o.Login), "")
	out["sid that is no id"] = with(o.Login, "1")
	out["sid in capital letters"] = with(`"sid"`, `"SID"`)
	out["no jti"] = with(`"jti":"0198f0c0-0000-7000-8000-000000000001",`, "")
	out["a claim of its own"] = with(`{"iss"`, `{"role":"region_officer","iss"`)
	out["a huge claim"] = with(`{"iss"`, `{"pad":"`+strings.Repeat("x", 1<<20)+`","iss"`)
	out["claims as a list"] = o.signed(o.header(), "["+o.payload()+"]")
	out["claims followed by more"] = o.signed(o.header(), o.payload()+o.payload())
	out["null"] = o.signed(o.header(), "null")
	out["nothing claimed"] = o.signed(o.header(), "{}")
}

func (o Of) times(out map[string]string) {
	at := func(issued, expires time.Time) string { return o.signed(o.header(), o.payloadAt(issued, expires)) }
	out["ended this second"] = at(o.Now.Add(-o.Life), o.Now)
	out["ended a second ago"] = at(o.Now.Add(-o.Life-time.Second), o.Now.Add(-time.Second))
	out["ended long ago"] = at(time.Unix(0, 0), time.Unix(600, 0))
	out["lives a second too long"] = at(o.Now, o.Now.Add(o.Life+time.Second))
	out["lives for ever"] = at(o.Now, time.Unix(99999999999, 0))
	out["issued in an hour"] = at(o.Now.Add(time.Hour), o.Now.Add(time.Hour+o.Life))
	exp := fmt.Sprintf(`"exp":%d`, o.Now.Add(o.Life).Unix())
	with := func(to string) string {
		return o.signed(o.header(), strings.Replace(o.payload(), exp, to, 1))
	}
	out["no exp"] = o.signed(o.header(), strings.Replace(o.payload(), exp+",", "", 1))
	out["exp as text"] = with(fmt.Sprintf(`"exp":"%d"`, o.Now.Add(o.Life).Unix()))
	out["exp null"] = with(`"exp":null`)
	out["exp negative"] = with(`"exp":-1`)
	out["exp in powers of ten"] = with(`"exp":1e300`)
	out["exp with a fraction"] = with(exp + ".5")
	out["not before in a minute"] = with(fmt.Sprintf(`%s,"nbf":%d`, exp, o.Now.Add(time.Minute).Unix()))
	out["no iat"] = o.signed(o.header(), strings.Replace(o.payload(), fmt.Sprintf(`"iat":%d,`, o.Now.Unix()), "", 1))
}

func (o Of) shapes(out map[string]string) {
	part := strings.Split(o.Genuine, ".")
	out["empty"] = ""
	out["two dots alone"] = ".."
	out["a word"] = "token"
	out["no signature part"] = part[0] + "." + part[1]
	out["empty signature"] = part[0] + "." + part[1] + "."
	out["four parts"] = o.Genuine + ".x"
	out["signature of another token"] = part[0] + "." + part[1] + "." + strings.Split(o.signed(o.header(), "{}"), ".")[2]
	out["signature cut short"] = o.Genuine[:len(o.Genuine)-2]
	out["signature with padding"] = o.Genuine + "="
	out["signature with a line end"] = o.Genuine + "\n"
	out["wrong secret"] = o.mac(sha256.New, []byte("another secret of thirty-two byt"), o.header(), o.payload())
	out["empty secret"] = o.mac(sha256.New, nil, o.header(), o.payload())
	out["claims changed after signing"] = part[0] + "." + b64(strings.Replace(o.payload(), o.Account, o.Login, 1)) + "." + part[2]
	out["JSON serialisation"] = fmt.Sprintf(`{"protected":%q,"payload":%q,"signature":%q}`, part[0], part[1], part[2])
	out["five parts, as if encrypted"] = strings.Join([]string{part[0], "", "", part[1], part[2]}, ".")
	out["not UTF-8"] = part[0] + "." + base64.RawURLEncoding.EncodeToString([]byte{0xff, 0xfe}) + "." + part[2]
	out["a megabyte"] = strings.Repeat("A", 1<<20)
}

// Untouched is a token that the forger made with the right secret and changed nothing in; it is valid at Now, which shows that
// the forgeries are refused for what is wrong with them.
func (o Of) Untouched() string { return o.signed(o.header(), o.payload()) }
