package rest

import (
	_ "embed"
	"encoding/json"
	"net/http"

	"github.com/labstack/echo/v4"
	"go.yaml.in/yaml/v3"
)

//go:embed openapi.yaml
var openapi []byte

// Document is the OpenAPI document of everything this package serves, as YAML.
func Document() []byte { return openapi }

func (s *server) documentYAML(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	return c.Blob(http.StatusOK, "application/yaml", openapi)
}

func (s *server) documentJSON(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	var doc map[string]any
	if err := yaml.Unmarshal(openapi, &doc); err != nil {
		return err
	}
	body, err := json.Marshal(doc)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, jsonType, body)
}
