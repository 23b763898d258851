package quantity

import (
	"math"
	"strconv"
	"strings"
)

// American wire gauge, by the rule of ASTM B258: 36 AWG is 0.005 in thick,
// 4/0 is 0.46 in, and the 39 steps between are one ratio. Sizes above 1 are
// 1/0, 2/0, 3/0 and 4/0, with n = 0, −1, −2 and −3.
const (
	thickestGauge = -3
	thinnestGauge = 40
)

// GaugeDiameter is the diameter in metres of a solid wire of gauge n.
func GaugeDiameter(n int) Metres {
	return Metres(0.000127 * math.Pow(92, float64(36-n)/39))
}

// GaugeArea is the cross-section of a solid wire of gauge n, −3 (4/0) to 40.
func GaugeArea(n int) SquareMillimetres {
	d := float64(GaugeDiameter(n)) * 1000
	return SquareMillimetres(math.Pi / 4 * d * d)
}

// GaugeNumber is the gauge, a number without a unit, whose rule gives the area; it is rarely whole.
func GaugeNumber(area SquareMillimetres) float64 {
	d := math.Sqrt(float64(area) * 4 / math.Pi)
	return 36 - 39*math.Log(d/0.127)/math.Log(92)
}

// nearestGauge is the gauge nearest in ratio of areas, if there is one.
func nearestGauge(area SquareMillimetres) (n int, ok bool) {
	if !(area > 0) {
		return 0, false
	}
	x := math.Round(GaugeNumber(area))
	return int(x), x >= thickestGauge && x <= thinnestGauge
}

// gaugeText is the size whose area is exactly this, "12" or "2/0".
func gaugeText(area float64) (string, bool) {
	n, ok := nearestGauge(SquareMillimetres(area))
	if !ok || float64(GaugeArea(n)) != area {
		return "", false
	}
	if n <= 0 {
		return strconv.Itoa(1-n) + "/0", true
	}
	return strconv.Itoa(n), true
}

// gaugeSize reads "12", "2/0" or "00".
func gaugeSize(text string) (n int, ok bool) {
	if aughts, found := strings.CutSuffix(text, "/0"); found {
		k, err := strconv.Atoi(aughts)
		return 1 - k, err == nil && k >= 1 && k <= 1-thickestGauge && len(aughts) == 1
	}
	if text != "" && strings.Trim(text, "0") == "" {
		return 1 - len(text), len(text) <= 1-thickestGauge
	}
	n, err := strconv.Atoi(text)
	return n, err == nil && n >= 1 && n <= thinnestGauge && text[0] != '+' && text[0] != '0'
}
