// Package frontend carries the built web app inside the binary, so that the service runs with no Node on the machine.
package frontend

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var built embed.FS

// Dist returns the files of the built web app, rooted where index.html lies.
func Dist() fs.FS {
	dist, err := fs.Sub(built, "dist")
	if err != nil {
		// The directory is part of the binary, or it would not have compiled.
		panic(err)
	}
	return dist
}
