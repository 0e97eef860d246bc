// Package api holds the contract: openapi.yaml is written by hand, everything else is generated from it.
package api

import _ "embed"

//go:generate go tool oapi-codegen -config oapi-codegen.yaml openapi.yaml

// OpenAPI is the contract as served at /openapi.yaml.
//
//go:embed openapi.yaml
var OpenAPI []byte
