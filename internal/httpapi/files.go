package httpapi

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"longspell/internal/httpapi/contract"
)

// files are the files of the web app, in memory, compressed once.
type files struct {
	byPath map[string]*file // "/assets/index.js"
	shell  *file            // index.html, which every address of the app is
}

type file struct {
	media  string
	plain  variant
	packed *variant // nil where gzip does not make it smaller
}

// variant is one form of a file; each has its own strong tag (RFC 9110, 8.8.1).
type variant struct {
	body []byte
	etag string
}

var mediaTypes = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml",
	".png": "image/png", ".ico": "image/x-icon", ".webmanifest": "application/manifest+json", ".json": "application/json",
	".woff2": "font/woff2", ".txt": "text/plain; charset=utf-8",
}

// readFiles reads the whole web app. It refuses one without index.html, and a file whose kind it does not know.
func readFiles(dist fs.FS) (*files, error) {
	f := &files{byPath: map[string]*file{}}
	err := fs.WalkDir(dist, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := fs.ReadFile(dist, name)
		if err != nil {
			return err
		}
		media, ok := mediaTypes[path.Ext(name)]
		if !ok {
			return fmt.Errorf("httpapi: the web app has a file of unknown kind: %s", name)
		}
		one, err := newFile(media, body)
		f.byPath["/"+name] = one
		return err
	})
	if err != nil {
		return nil, err
	}
	if f.shell = f.byPath["/index.html"]; f.shell == nil {
		return nil, errors.New("httpapi: the web app has no index.html")
	}
	return f, nil
}

func newFile(media string, body []byte) (*file, error) {
	f := &file{media: media, plain: variant{body: body, etag: tag(body, "")}}
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(body); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	if b.Len() < len(body)*9/10 {
		f.packed = &variant{body: b.Bytes(), etag: tag(body, "-gzip")}
	}
	return f, nil
}

func tag(body []byte, form string) string {
	sum := sha256.Sum256(body)
	return `"` + base64.RawURLEncoding.EncodeToString(sum[:15]) + form + `"`
}

// serve answers with a file, or with the shell for an address of the app; false where there is neither.
func (f *files) serve(c *gin.Context) bool {
	p := c.Request.URL.Path
	one := f.byPath[p]
	if one == nil {
		if strings.HasPrefix(p, contract.Base[:len("/api")]+"/") || strings.HasPrefix(p, "/assets/") || path.Ext(p) != "" || strings.Contains(p, "\\") {
			return false
		}
		one = f.shell
	}
	if c.Request.Method != http.MethodGet && c.Request.Method != http.MethodHead {
		c.Header("Allow", "GET, HEAD")
		refuse(c, &refusal{status: http.StatusMethodNotAllowed, code: "method_not_allowed", detail: "This address exists, but not with the method " + known(c.Request.Method) + "."})
		return true
	}
	one.write(c)
	return true
}

func (f *file) write(c *gin.Context) {
	v := &f.plain
	if f.packed != nil && takesGzip(c.GetHeader("Accept-Encoding")) {
		v = f.packed
		c.Header("Content-Encoding", "gzip")
	}
	if f.packed != nil {
		c.Header("Vary", "Accept-Encoding")
	}
	c.Header("ETag", v.etag)
	c.Header("Cache-Control", "no-cache") // kept, but asked after each time: the names stay when the content changes
	if sameTag(c.GetHeader("If-None-Match"), v.etag) {
		c.Writer.Header().Del("Content-Encoding")
		c.Status(http.StatusNotModified)
		c.Writer.WriteHeaderNow()
		return
	}
	c.Header("Content-Type", f.media)
	c.Header("Content-Length", strconv.Itoa(len(v.body)))
	c.Status(http.StatusOK)
	if c.Request.Method == http.MethodHead {
		c.Writer.WriteHeaderNow()
		return
	}
	if _, err := c.Writer.Write(v.body); err != nil {
		requestOf(c).cause = err
	}
}

// takesGzip reads Accept-Encoding (RFC 9110, 12.5.3): gzip or *, and not with the weight nought.
func takesGzip(header string) bool {
	star := false
	for part := range strings.SplitSeq(header, ",") {
		coding, params, _ := strings.Cut(part, ";")
		q := 1.0
		if name, value, ok := strings.Cut(params, "="); ok && strings.TrimSpace(name) == "q" {
			var err error
			if q, err = strconv.ParseFloat(strings.TrimSpace(value), 64); err != nil {
				q = 0
			}
		}
		switch strings.ToLower(strings.TrimSpace(coding)) {
		case "gzip", "x-gzip":
			return q > 0
		case "*":
			star = q > 0
		}
	}
	return star
}

// sameTag reads If-None-Match (RFC 9110, 13.1.2), which compares weakly.
func sameTag(header, etag string) bool {
	for part := range strings.SplitSeq(header, ",") {
		part = strings.TrimSpace(part)
		if part == "*" || strings.TrimPrefix(part, "W/") == etag {
			return true
		}
	}
	return false
}
