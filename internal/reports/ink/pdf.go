package ink

import (
	"io"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// WritePDF writes the list as a document of one page.
func (l *List) WritePDF(out io.Writer, at time.Time) error {
	pdf := NewPDF(l.W, l.H, at)
	pdf.SetTitle(Inside(l.Title), true)
	pdf.SetSubject(Inside(l.Desc), true)
	pdf.SetLang("en-US")
	pdf.AddPage()
	s := NewStructure(pdf)
	l.Figure(s, s.Root(), 0, 0)
	return s.Write(out, l.H)
}

// Figure paints the list as a figure of the structure, told in its own words.
func (l *List) Figure(s *Structure, under *Element, x, y float64) {
	alt := l.Desc
	if alt == "" {
		alt = l.Title
	}
	b := Corners(x, y, x+l.W, y+l.H)
	s.Mark(s.Under(under, &Element{Role: "Figure", Alt: alt, Box: &b}), func() { l.PDF(s.pdf, x, y) })
}

// NewPDF returns a document in millimeters without pages, margins and automatic
// page breaks that gives the same bytes every time; at is the date it carries.
func NewPDF(w, h float64, at time.Time) *fpdf.Fpdf {
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: w, Ht: h}})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(at)
	pdf.SetModificationDate(at)
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	AddFonts(pdf)
	return pdf
}

// PDF paints the list into a document whose unit is the millimeter, with its upper
// left corner at x, y. It adds the fonts when they are not there, and leaves line,
// fill and text settings as the list had them: set your own before you go on.
func (l *List) PDF(pdf *fpdf.Fpdf, x, y float64) {
	AddFonts(pdf)
	pdf.SetLineJoinStyle("round")
	for i := range l.Marks {
		l.mark(pdf, &l.Marks[i], Spot{x, y})
	}
	pdf.SetDashPattern(nil, 0)
}

func (l *List) mark(pdf *fpdf.Fpdf, m *Mark, o Spot) {
	s, u := l.Styles[m.Style], LineUnit(l.W)
	if m.Text != "" {
		m.pdfText(pdf, o, s)
		return
	}
	how := ""
	if s.Fill != "" {
		pdf.SetFillColor(RGB(s.Fill))
		how = "F"
	}
	if s.Stroke != "" {
		pdf.SetDrawColor(RGB(s.Stroke))
		pdf.SetLineWidth(s.Width * u)
		dash := make([]float64, len(s.Dash))
		for i, d := range s.Dash {
			dash[i] = d * u
		}
		pdf.SetDashPattern(dash, 0)
		how += "D"
	}
	if m.Paths == nil {
		pdf.Ellipse(o.X+m.At.X, o.Y+m.At.Y, m.RX, m.RY, 0, how)
		return
	}
	for _, run := range m.Paths {
		for i, p := range run {
			if i == 0 {
				pdf.MoveTo(o.X+p.X, o.Y+p.Y)
			} else {
				pdf.LineTo(o.X+p.X, o.Y+p.Y)
			}
		}
		if m.Closed {
			pdf.ClosePath()
		}
	}
	if !m.Closed {
		how = "D"
	}
	pdf.DrawPath(how)
}

func (m *Mark) pdfText(pdf *fpdf.Fpdf, o Spot, s Style) {
	weight := ""
	if s.Bold {
		weight = "B"
	}
	pdf.SetFont(Family, weight, 0)
	pdf.SetFontUnitSize(m.Size)
	pdf.SetTextColor(RGB(s.Fill))
	text := Visual(m.Text)
	x, y := o.X+m.At.X, o.Y+m.At.Y
	back := float64(m.Anchor+1) / 2 * TextWidth(m.Text, m.Size, s.Bold)
	if m.Up {
		pdf.TransformBegin()
		pdf.TransformRotate(90, x, y)
		defer pdf.TransformEnd()
	}
	pdf.Text(x-back, y, text)
}

// RGB reads #rrggbb.
func RGB(s string) (int, int, int) {
	n, err := strconv.ParseUint(s[1:], 16, 32)
	if err != nil {
		panic("ink: color " + s)
	}
	return int(n >> 16), int(n >> 8 & 255), int(n & 255)
}
