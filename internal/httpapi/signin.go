package httpapi

import (
	"context"
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
)

// cookieName keeps the refresh token. The prefix makes browsers refuse it unless it is secure, of this host alone and for every path
// (Internet-Draft "Cookies: HTTP State Management Mechanism", RFC 6265bis, IETF httpbis, 4.1.3).
const cookieName = "__Host-longspell"

// longestRefresh is more than any refresh token has.
const longestRefresh = 512

// refreshCookie keeps a refresh token until it ends.
func refreshCookie(token string, until, now time.Time) *http.Cookie {
	c := noCookie()
	c.Value, c.MaxAge = token, max(int(until.Sub(now).Seconds()), 1)
	return c
}

// noCookie takes the refresh token away.
func noCookie() *http.Cookie {
	return &http.Cookie{Name: cookieName, Path: "/", Secure: true, HttpOnly: true, SameSite: http.SameSiteStrictMode, MaxAge: -1}
}

type signedInAnswer struct {
	body   apigen.SignedIn
	cookie *http.Cookie
}

// VisitSignInResponse implements apigen.SignInResponseObject.
func (a signedInAnswer) VisitSignInResponse(w http.ResponseWriter) error {
	http.SetCookie(w, a.cookie)
	return apigen.SignIn200JSONResponse(a.body).VisitSignInResponse(w)
}

// VisitRefreshSignInResponse implements apigen.RefreshSignInResponseObject.
func (a signedInAnswer) VisitRefreshSignInResponse(w http.ResponseWriter) error {
	http.SetCookie(w, a.cookie)
	return apigen.RefreshSignIn200JSONResponse(a.body).VisitRefreshSignInResponse(w)
}

type signedOutAnswer struct{ cookie *http.Cookie }

// VisitSignOutResponse implements apigen.SignOutResponseObject.
func (a signedOutAnswer) VisitSignOutResponse(w http.ResponseWriter) error {
	http.SetCookie(w, a.cookie)
	return apigen.SignOut204Response{}.VisitSignOutResponse(w)
}

func (o operations) signedIn(ctx context.Context, s app.SignedIn) (signedInAnswer, error) {
	me, err := o.app.Me(ctx, s.Actor)
	if err != nil {
		return signedInAnswer{}, err
	}
	return signedInAnswer{
		body:   apigen.SignedIn{AccessToken: s.AccessToken, ExpiresAt: s.AccessExpires, Me: fromMe(me)},
		cookie: refreshCookie(s.RefreshToken, s.RefreshExpires, o.clock.Now()),
	}, nil
}

// SignIn opens a login; the refresh token goes into the cookie and nowhere else.
func (o operations) SignIn(ctx context.Context, r apigen.SignInRequestObject) (apigen.SignInResponseObject, error) {
	s, err := o.app.SignIn(ctx, r.Body.Email, r.Body.Password)
	if err != nil {
		return nil, err
	}
	return o.signedIn(ctx, s)
}

// RefreshSignIn trades the cookie for a new access token and the next cookie. A sign-in that has ended takes the cookie with it.
func (o operations) RefreshSignIn(ctx context.Context, _ apigen.RefreshSignInRequestObject) (apigen.RefreshSignInResponseObject, error) {
	c := ctx.(*gin.Context)
	got := c.Request.CookiesNamed(cookieName)
	if len(got) != 1 || got[0].Value == "" || len(got[0].Value) > longestRefresh {
		return nil, domain.Unauthenticated("signed_out", "You are signed out. Sign in again; nothing that was saved is lost.")
	}
	s, err := o.app.Refresh(ctx, got[0].Value)
	if err != nil {
		requestOf(c).dropCookie = domain.ErrorKindOf(err) == domain.KindUnauthenticated
		return nil, err
	}
	return o.signedIn(ctx, s)
}

// SignOut ends the login behind the request, on the server too.
func (o operations) SignOut(ctx context.Context, _ apigen.SignOutRequestObject) (apigen.SignOutResponseObject, error) {
	if err := o.app.SignOut(ctx, actorFrom(ctx)); err != nil {
		return nil, err
	}
	return signedOutAnswer{noCookie()}, nil
}
