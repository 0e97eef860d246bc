package httpapi

import (
	"net/url"

	"github.com/gin-gonic/gin"
)

// securityPolicy lets the web app use what comes from its own origin and nothing else: no inline script or style, no frame, no form
// to elsewhere.
const securityPolicy = "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'; " +
	"style-src 'self'; connect-src 'self'; img-src 'self' data:"

// permissionsPolicy switches off what the web app never asks for.
const permissionsPolicy = "accelerometer=(), autoplay=(), camera=(), display-capture=(), encrypted-media=(), fullscreen=(self), geolocation=(), gyroscope=(), " +
	"magnetometer=(), microphone=(), midi=(), payment=(), publickey-credentials-get=(self), screen-wake-lock=(self), usb=(), xr-spatial-tracking=()"

// securityHeaders puts the headers on every answer, whatever becomes of the request (OWASP Application Security Verification Standard
// 5.0.0, OWASP Foundation, 2025, 3.4).
func securityHeaders(public *url.URL) gin.HandlerFunc {
	headers := map[string]string{
		"Content-Security-Policy":           securityPolicy,
		"X-Content-Type-Options":            "nosniff",
		"Referrer-Policy":                   "no-referrer",
		"Cross-Origin-Opener-Policy":        "same-origin",
		"Cross-Origin-Resource-Policy":      "same-origin",
		"Permissions-Policy":                permissionsPolicy,
		"X-Permitted-Cross-Domain-Policies": "none",
		"Cache-Control":                     "no-store", // the files of the web app say otherwise themselves
	}
	if public != nil && public.Scheme == "https" {
		headers["Strict-Transport-Security"] = "max-age=63072000; includeSubDomains"
	}
	return func(c *gin.Context) {
		for name, value := range headers {
			c.Header(name, value)
		}
		c.Next()
	}
}
