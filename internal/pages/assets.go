package pages

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"mime"
	"path"
	"strings"
)

//go:embed assets
var assetFiles embed.FS

// An Asset is a file that pages ask for. Its name holds a hash of its content, so
// that a browser may keep it for good.
type Asset struct {
	Name   string // with the hash
	Kind   string // media type
	Body   []byte
	Zipped []byte // nil where it is compressed already
}

var byName, byHash = loadAssets()

// loadAssets reads every file; what a stylesheet points at is named with its hash.
func loadAssets() (named, hashed map[string]*Asset) {
	named, hashed = map[string]*Asset{}, map[string]*Asset{}
	names, err := fs.Glob(assetFiles, "assets/*")
	if err != nil {
		panic(err)
	}
	for _, last := range []bool{false, true} { // stylesheets last: they name the others
		for _, f := range names {
			if (path.Ext(f) == ".css") == last {
				a := loadAsset(f, named)
				named[path.Base(f)], hashed[a.Name] = a, a
			}
		}
	}
	return named, hashed
}

// loadAsset reads one file; a stylesheet names the files before it by their hashes.
func loadAsset(file string, named map[string]*Asset) *Asset {
	body, err := assetFiles.ReadFile(file)
	if err != nil {
		panic(err)
	}
	if path.Ext(file) == ".css" {
		for n, a := range named {
			body = bytes.ReplaceAll(body, []byte("url("+n+")"), []byte("url(/assets/"+a.Name+")"))
		}
	}
	return newAsset(path.Base(file), body)
}

func newAsset(name string, body []byte) *Asset {
	sum := sha256.Sum256(body)
	ext := path.Ext(name)
	a := &Asset{Name: strings.TrimSuffix(name, ext) + "-" + hex.EncodeToString(sum[:6]) + ext, Kind: kindOf(ext),
		Body: body}
	if ext == ".woff2" || ext == ".png" || ext == ".webp" {
		return a
	}
	var b bytes.Buffer
	w, _ := gzip.NewWriterLevel(&b, gzip.BestCompression) // the level is a valid one
	if _, err := w.Write(body); err != nil {
		panic(err)
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	a.Zipped = b.Bytes()
	return a
}

// kindOf is the media type of an extension, whatever the machine's own list says.
func kindOf(ext string) string {
	switch ext {
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".css":
		return "text/css; charset=utf-8"
	case ".woff2":
		return "font/woff2"
	case ".txt":
		return "text/plain; charset=utf-8"
	}
	return mime.TypeByExtension(ext)
}

// AssetNamed finds an asset by the name that holds its hash; nil for none.
func AssetNamed(name string) *Asset { return byHash[name] }

// assetPath is where a page finds an asset by its plain name.
func assetPath(name string) (string, error) {
	a := byName[name]
	if a == nil {
		return "", &fs.PathError{Op: "asset", Path: name, Err: fs.ErrNotExist}
	}
	return "/assets/" + a.Name, nil
}
