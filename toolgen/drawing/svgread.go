package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"platen/toolgen/geom"
)

// Limits of an SVG file beside those of every drawing.
const (
	mostElements = 200_000
	deepest      = 100 // elements within elements
)

// ReadSVG reads the closed loops of an SVG file: path (M L H V C S Q T A Z, absolute and relative), rect,
// circle, ellipse, polygon, polyline and line, with the transforms of groups and elements. What is open is
// chained to loops. Fill and stroke do not matter: an outline is the line itself.
//
// The unit comes from width, height and viewBox of the page. Where width and height have no unit the user
// units are those of the options, and pixels, 96 to the inch, if they name none. Layers are groups, by
// label or id. What is not displayed and definitions are passed over, clipping is not followed; a warning
// tells.
//
// ERROR: *Refusal with every place: open or branching chains, loops that cross or touch, elements drawn
// twice or without length, text, pictures, references (use), nested pages, entities, a file that is not
// well formed or beyond the limits.
func ReadSVG(data []byte, o Options) (*Drawing, error) {
	c := newCollector(o)
	s := &svg{collector: c, xml: xml.NewDecoder(bytes.NewReader(data))}
	s.xml.CharsetReader = charset
	if len(data) > mostBytes {
		c.stop(Place{}, "has %d bytes; at most %d are read", len(data), mostBytes)
	} else {
		s.file()
	}
	return c.finish("SVG", s.unit)
}

// svg is the state of reading a file.
type svg struct {
	*collector
	xml    *xml.Decoder
	unit   Unit
	levels []level
	number int // of elements so far
	rooted bool
}

// level is an open element.
type level struct {
	m      geom.Affine
	names  []string // of the layers around, innermost last
	layer  string
	hidden bool // nothing in it is read
}

func (s *svg) file() {
	for !s.stopped {
		line, _ := s.xml.InputPos()
		t, err := s.xml.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			s.stop(Place{Line: line}, "not well formed: %s", printable(xmlReason(err)))
			return
		}
		switch t := t.(type) {
		case xml.Directive:
			if bytes.Contains(t, []byte("[")) || bytes.Contains(bytes.ToUpper(t), []byte("ENTITY")) {
				s.stop(Place{Line: line}, "declares entities: they are not read")
			}
		case xml.StartElement:
			s.open(t, line)
		case xml.EndElement:
			s.levels = s.levels[:len(s.levels)-1]
		}
	}
	if !s.rooted && len(s.faults) == 0 {
		s.stop(Place{Line: 1}, "no svg element: this is no SVG file")
	}
}

func xmlReason(err error) string {
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		return syntax.Msg
	}
	return strings.TrimPrefix(err.Error(), "xml: ")
}

// charset reads the one-byte encodings in which old files may be; letters do not matter here.
func charset(name string, in io.Reader) (io.Reader, error) {
	switch strings.ToLower(name) {
	case "us-ascii", "ascii", "iso-8859-1", "iso-8859-15", "windows-1252", "latin1":
		b, err := io.ReadAll(in)
		if err != nil {
			return nil, err
		}
		var out bytes.Buffer
		for _, c := range b {
			out.WriteRune(rune(c))
		}
		return &out, nil
	}
	return nil, fmt.Errorf("the encoding %q is not read: UTF-8 or ISO-8859-1", name)
}

// skipped are elements that draw nothing where they stand.
var skipped = map[string]bool{
	"defs": true, "symbol": true, "clipPath": true, "mask": true, "pattern": true, "marker": true, "filter": true,
	"linearGradient": true, "radialGradient": true, "title": true, "desc": true, "metadata": true, "cursor": true,
	"view": true, "font": true, "color-profile": true,
}

// refusedElements says why elements are not read.
var refusedElements = map[string]string{
	"text": isLetters, "tspan": isLetters, "textPath": isLetters, "flowRoot": isLetters,
	"image": "is a picture: " + elsewhere, "foreignObject": "is no drawing: " + elsewhere,
	"use": "is a reference to another element: turn it into a copy", "svg": "is a page within the page: ungroup it",
	"script": "is a program", "switch": "is a choice between drawings",
}

const isLetters = "is text: turn it into paths, or put it on a layer of its own and name the layers to read"

func (s *svg) open(t xml.StartElement, line int) {
	s.number++
	a := attributes(t.Attr)
	p := Place{Line: line, Entity: printable(t.Name.Local), Number: s.number}
	switch {
	case s.number > mostElements:
		s.stop(p, "more than %d elements up to here", mostElements)
	case len(s.levels) == deepest:
		s.stop(p, "elements more than %d deep in each other", deepest)
	case len(s.levels) == 0:
		s.root(t, a, p)
		s.levels = append(s.levels, level{m: s.page(a, p)})
		return
	}
	if s.stopped {
		return
	}
	out := s.levels[len(s.levels)-1]
	in := out
	foreign := t.Name.Space != "" && t.Name.Space != svgSpace
	if !out.hidden {
		s.enter(&in, t.Name.Local, a, p)
		in.hidden = in.hidden || foreign || skipped[t.Name.Local]
		p.Layer = printable(in.layer)
		if !in.hidden {
			s.element(t.Name.Local, a, in, p)
		}
	}
	s.levels = append(s.levels, in)
}

const svgSpace = "http://www.w3.org/2000/svg"

// attributes returns the attributes without a name space, and label of any.
func attributes(list []xml.Attr) map[string]string {
	a := make(map[string]string, min(len(list), 64))
	for _, x := range list {
		if x.Name.Space == "" || x.Name.Local == "label" {
			a[x.Name.Local] = x.Value
		}
	}
	return a
}

// enter takes transform, name and display of an element into its level.
func (s *svg) enter(in *level, kind string, a map[string]string, p Place) {
	if text := a["transform"]; text != "" {
		m, err := svgTransform(text)
		if err != nil {
			s.fault(p, "%v", err)
		}
		in.m = m.Then(in.m)
	}
	if styleOf(a["style"], "transform") != "" {
		s.fault(p, "has a transform in its style: write it as an attribute")
	}
	for _, name := range []string{a["label"], a["id"]} {
		if name != "" {
			in.names = append(in.names[:len(in.names):len(in.names)], name)
		}
	}
	if kind == "g" && (a["label"] != "" || a["id"] != "") {
		in.layer = a["label"]
		if in.layer == "" {
			in.layer = a["id"]
		}
	}
	if a["display"] == "none" || styleOf(a["style"], "display") == "none" ||
		a["visibility"] == "hidden" || styleOf(a["style"], "visibility") == "hidden" {
		s.note("elements that are not displayed are left out")
		in.hidden = true
	}
	if a["clip-path"] != "" || styleOf(a["style"], "clip-path") != "" || a["mask"] != "" || styleOf(a["style"], "mask") != "" {
		s.note("clipping and masks are not followed: lines count in full")
	}
}

// element reads what draws.
func (s *svg) element(kind string, a map[string]string, in level, p Place) {
	if kind == "g" || kind == "a" {
		return
	}
	if kind == "style" {
		return
	}
	if !s.o.wants(in.names...) {
		return
	}
	if why, refused := refusedElements[kind]; refused {
		s.fault(p, "%s", why)
		return
	}
	var err error
	switch kind {
	case "path":
		err = readPath(a["d"], in.m, func(segs []seg, closed bool) { s.add(p, segs, closed) })
	case "polygon", "polyline":
		var segs []seg
		if segs, err = svgPoints(a["points"], in.m); err == nil {
			s.add(p, segs, kind == "polygon")
		}
	case "rect", "circle", "ellipse", "line":
		err = s.shape(kind, a, in.m, p)
	default:
		err = errors.New("is of a kind that is not read: path, rect, circle, ellipse, polygon, polyline and line are")
	}
	if err != nil {
		s.fault(p, "%v", err)
	}
}
