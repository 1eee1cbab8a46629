package rest_test

import (
	"net/http"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"hardtack/api/rest"
)

func TestTheDocumentIsValid(t *testing.T) {
	t.Parallel()
	ok, faults := spec(t).ValidateDocument()
	for _, f := range faults {
		t.Errorf("%s: %s", f.Message, f.Reason)
		for _, s := range f.SchemaValidationErrors {
			t.Errorf("  %s at %s", s.Reason, s.FieldPath)
		}
	}
	require.True(t, ok)
}

// operations are "GET /v1/ports/{port}" of the document.
func operations(t *testing.T) []string {
	t.Helper()
	var doc struct {
		Paths map[string]map[string]any
	}
	require.NoError(t, yaml.Unmarshal(rest.Document(), &doc))
	var out []string
	for path, item := range doc.Paths {
		for method := range item {
			if method != "parameters" {
				out = append(out, strings.ToUpper(method)+" "+path)
			}
		}
	}
	sort.Strings(out)
	return out
}

func TestTheDocumentTellsEveryRouteAndNoOther(t *testing.T) {
	t.Parallel()
	require.Equal(t, operations(t), rest.Routes())
}

func TestTheServerServesItsDocument(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	a := c.do("GET", "/v1/openapi.yaml", nil).want(http.StatusOK)
	require.Equal(t, rest.Document(), a.body)
	var doc struct{ OpenAPI string }
	c.do("GET", "/v1/openapi.json", nil).want(http.StatusOK).into(&doc)
	require.Equal(t, "3.1.0", doc.OpenAPI)
}
