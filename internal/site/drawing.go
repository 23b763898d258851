package site

import (
	"voltwright/internal/journal"
)

// sheetDrawing is the drawing for a sheet of its own.
func (b *builder) sheetDrawing(s *sheet, v *journal.Version) (*drawing, error) { return nil, nil }
