// Package film reaches recordings and lists of clips. A film is a path or an
// address: the file is never copied, an address never fetched. Clip lists come
// in as CSV (RFC 4180) or WebVTT (W3C, https://www.w3.org/TR/webvtt1/) and go
// out as a WebVTT metadata track whose cues are JSON.
//
// Times are seconds from the start of the film.
package film
