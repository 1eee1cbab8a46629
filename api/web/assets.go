package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed" // style and script are files beside this one
	"encoding/hex"
	"net/http"
	"strings"
)

//go:embed style.css
var styleCSS []byte

//go:embed script.js
var scriptJS []byte

const assetPath = "/assets/"

// assets are the files pages load. Their names bear a hash of what is in them,
// so that a browser may keep them for ever.
type assets struct {
	style, script string // paths
	files         map[string]asset
}

type asset struct {
	kind        string
	plain, zip  []byte
	fingerprint string
}

func loadAssets() *assets {
	a := &assets{files: map[string]asset{}}
	a.style = a.add("chart", ".css", "text/css; charset=utf-8", styleCSS)
	a.script = a.add("chart", ".js", "text/javascript; charset=utf-8", scriptJS)
	return a
}

func (a *assets) add(name, ext, kind string, body []byte) string {
	f := asset{kind: kind, plain: body, zip: zipped(body), fingerprint: fingerprint(body)}
	name += "-" + f.fingerprint + ext
	a.files[name] = f
	return assetPath + name
}

func fingerprint(body []byte) string {
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:6])
}

func zipped(body []byte) []byte {
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestCompression) // the level is right
	_, _ = z.Write(body)                                  // a buffer takes everything
	_ = z.Close()
	return b.Bytes()
}

// ServeHTTP gives a file, for ever.
func (a *assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, ok := a.files[r.PathValue("name")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	send(w, r, http.StatusOK, f.plain, f.zip, f.fingerprint)
}

// send answers with a body the client may have already, packed if it can be
// unpacked.
func send(w http.ResponseWriter, r *http.Request, status int, plain, zip []byte, print string) {
	h := w.Header()
	h.Set("ETag", `W/"`+print+`"`)
	h.Set("Vary", "Accept-Encoding, Cookie")
	if status == http.StatusOK && strings.Contains(r.Header.Get("If-None-Match"), `"`+print+`"`) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	body := plain
	if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		h.Set("Content-Encoding", "gzip")
		body = zip
	}
	w.WriteHeader(status)
	if r.Method != http.MethodHead {
		_, _ = w.Write(body) // a client that went away is no fault
	}
}
