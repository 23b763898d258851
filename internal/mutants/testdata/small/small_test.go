package small

import (
	"math"
	"testing"
)

func TestRoot(t *testing.T) {
	if y, err := Root(2); err != nil || math.Abs(y-2) > 1e-6 {
		t.Errorf("%v, %v", y, err)
	}
	if _, err := Root(-1); err == nil {
		t.Error("a root of −1")
	}
}

func TestSum(t *testing.T) {
	if s := Sum(4); s != 10 {
		t.Error(s)
	}
}

func TestFirst(t *testing.T) {
	if v := First(); v != 40 {
		t.Error(v)
	}
}
