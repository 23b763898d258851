package safety

import (
	"testing"

	"voltwright/internal/quantity"
)

func TestCeilTenth(t *testing.T) {
	for _, tt := range []struct{ v, want quantity.Volts }{{1.1, 1.1}, {1.1000001, 1.2}, {1.05, 1.1}, {2, 2}, {0.3 + 1.6, 1.9}} {
		if got := ceilTenth(tt.v); got != tt.want {
			t.Errorf("ceilTenth(%v) = %v, want %v", tt.v, got, tt.want)
		}
	}
}
