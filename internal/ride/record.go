package ride

import (
	"math"
	"strconv"

	"voltwright/internal/quantity"
)

// Record is Answers in the form in which they are handed on as JSON: values in
// base units with standard uncertainties (k = 1), null where a number is not known.
type Record struct {
	Error    string         `json:"error,omitempty"`
	Basis    BasisRecord    `json:"basis"`
	Residual ResidualRecord `json:"residual"`
	RunTimes []RunTime      `json:"runTimes"`
	NoLoad   string         `json:"noLoad,omitempty"`
	Refused  []string       `json:"notTold,omitempty"` // loads that cannot be told at the payload asked for
	Charges  []ChargeRecord `json:"chargeTimes"`
	Life     []DepthRecord  `json:"cycleLife"`
	Storage  *float64       `json:"storageVoltage"`
	Matters  *TornadoRecord `json:"whatMatters,omitempty"`
	Chatter  *ChatterRecord `json:"cutout,omitempty"`
	Parallel string         `json:"packsInParallel,omitempty"`
	Cautions []string       `json:"cautions,omitempty"`
}

// Number is a value with its standard uncertainty.
type Number struct {
	Value *float64 `json:"value"`
	U     *float64 `json:"standardUncertainty"`
	Unit  string   `json:"unit"`
}

// BasisRecord is a Basis in a Record.
type BasisRecord struct {
	Words      string         `json:"words"`
	Calibrated bool           `json:"calibrated"`
	Misfit     *float64       `json:"reducedChiSquare"`
	Values     []NamedRecord  `json:"values"`
	Runs       []LessonRecord `json:"runs"`
}

// NamedRecord is a named value.
type NamedRecord struct {
	Name  string `json:"name"`
	Label string `json:"label"`
	Number
}

// LessonRecord is a Lesson in a Record.
type LessonRecord struct {
	Run    string `json:"run"`
	Taught bool   `json:"taught"`
	Why    string `json:"why"`
}

// ResidualRecord is a Residual in a Record, with its checks.
type ResidualRecord struct {
	Words   string        `json:"words"`
	Time    *float64      `json:"meanRunningTimeError"` // as a part
	Voltage *float64      `json:"voltageRootMeanSquare"`
	Checks  []CheckRecord `json:"checks"`
}

// CheckRecord is a Check in a Record, without its traces.
type CheckRecord struct {
	Run       string   `json:"run"`
	By        []string `json:"calibratedOn"`
	Measured  Number   `json:"runningTimeMeasured"`
	Predicted Number   `json:"runningTimePredicted"`
	Voltage   *float64 `json:"voltageRootMeanSquare"`
	Why       string   `json:"why,omitempty"`
}

// RunTime is a Cell in a Record, with its load and its pack.
type RunTime struct {
	Name         string       `json:"name"`
	Load         string       `json:"load"`
	LoadWords    string       `json:"draws"`
	Source       LoadSource   `json:"source"`
	From         string       `json:"scaledFrom,omitempty"` // the run
	Duty         float64      `json:"shareUnderLoad"`
	Rest         *float64     `json:"drawsOffLoad,omitempty"` // W, mean while not under load
	Counted      string       `json:"runningTimeCounted"`
	Ambient      float64      `json:"ambient"`
	Assumed      bool         `json:"ambientAssumed"`
	Capacity     float64      `json:"capacity"`
	Error        string       `json:"error,omitempty"`
	EndsBy       string       `json:"endsBy"`
	Cutout       *ReachRecord `json:"cutout,omitempty"`
	Conservative *ReachRecord `json:"conservativeFloor,omitempty"`
	Datasheet    *ReachRecord `json:"dataSheetFloor,omitempty"`
	Replayed     *float64     `json:"timeOnTheClockWithItsOwnSwings"`
}

// ReachRecord is a Reach in a Record.
type ReachRecord struct {
	Volts     float64 `json:"voltage"`
	Running   Number  `json:"runningTime"`
	UnderLoad Number  `json:"timeUnderLoad"`
	Clock     Number  `json:"timeOnTheClock"`
	Charge    Number  `json:"charge"`
	Energy    Number  `json:"energy"`
	Left      Number  `json:"left"`
	Error     string  `json:"error,omitempty"`

	Between []*float64 `json:"runningTimeBetween,omitempty"`
}

// ChargeRecord is a ChargeTime in a Record.
type ChargeRecord struct {
	Name     string   `json:"name"`
	Label    string   `json:"label"`
	Current  float64  `json:"current"`
	From     float64  `json:"chargedFrom"`
	Method   string   `json:"method,omitempty"`
	Total    Number   `json:"time"`
	RuleLow  *float64 `json:"ruleOfThumbFrom"`
	RuleHigh *float64 `json:"ruleOfThumbTo"`
	Error    string   `json:"error,omitempty"`
}

// DepthRecord is a Depth in a Record.
type DepthRecord struct {
	Name  string   `json:"name"`
	Depth float64  `json:"depth"`
	Low   *float64 `json:"cyclesFrom"`
	High  *float64 `json:"cyclesTo"`
	Error string   `json:"error,omitempty"`
}

// TornadoRecord is a Tornado in a Record.
type TornadoRecord struct {
	Load  string      `json:"load"`
	To    string      `json:"runningTimeTo"`
	Base  *float64    `json:"runningTime"`
	Bars  []BarRecord `json:"inputs"`
	Error string      `json:"error,omitempty"`
}

// BarRecord is a Bar in a Record.
type BarRecord struct {
	Input    string   `json:"input"`
	Low      string   `json:"lower"`
	LowTime  *float64 `json:"runningTimeLower"`
	High     string   `json:"higher,omitempty"`
	HighTime *float64 `json:"runningTimeHigher"`
}

// ChatterRecord is a Chatter in a Record.
type ChatterRecord struct {
	Words    string   `json:"words"`
	Rebound  Number   `json:"rebound"`
	Reset    *float64 `json:"resetPoint"`
	Reaches  bool     `json:"closesAgain"`
	Openings int      `json:"openings"`
	Error    string   `json:"error,omitempty"`
}

// Record makes the record of the answers.
func (a *Answers) Record() Record {
	r := Record{Error: a.Err, RunTimes: []RunTime{}, Charges: []ChargeRecord{}, Life: []DepthRecord{}, NoLoad: a.Table.None, Refused: a.Table.Refused, Cautions: a.Cautions,
		Basis:    BasisRecord{Words: a.Basis.Words, Calibrated: a.Basis.Calibrated, Misfit: number(a.Basis.Misfit), Values: []NamedRecord{}, Runs: []LessonRecord{}},
		Residual: ResidualRecord{Words: a.Residual.Words, Time: number(a.Residual.Time), Voltage: number(float64(a.Residual.Voltage)), Checks: []CheckRecord{}}}
	if a.Err != "" {
		r.Basis.Misfit, r.Residual.Time, r.Residual.Voltage = nil, nil, nil
		return r
	}
	for _, v := range a.Basis.Values {
		r.Basis.Values = append(r.Basis.Values, NamedRecord{v.Name, v.Label, Number{number(v.Quantity.Value), number(v.Quantity.U), v.Quantity.Dimension.BaseUnit()}})
	}
	for _, l := range a.Basis.Runs {
		r.Basis.Runs = append(r.Basis.Runs, LessonRecord{l.Run, l.Taught, l.Why})
	}
	for _, c := range a.Checks {
		r.Residual.Checks = append(r.Residual.Checks, CheckRecord{c.Run, append([]string{}, c.By...), measured(quantity.Unsure(c.Measured)), measured(c.Predicted), number(float64(c.Voltage)), c.Why})
	}
	r.tables(a)
	return r
}

func (r *Record) tables(a *Answers) {
	for i, row := range a.Table.Cells {
		l := a.Table.Loads[i]
		for j, c := range row {
			t := RunTime{Name: c.Name, Load: l.Label, LoadWords: l.Words, Source: l.Source, From: l.From, Duty: digits(float64(l.Duty)), Counted: l.Counted(), Ambient: digits(float64(l.Ambient)), Assumed: l.Assumed,
				Capacity: digits(float64(a.Table.Columns[j].Capacity)), Error: c.Err, EndsBy: a.Table.EndsBy}
			if l.Rest != 0 {
				t.Rest = number(float64(l.Rest))
			}
			if c.Err == "" {
				t.Replayed = number(float64(c.Replayed.Clock))
				t.Conservative, t.Datasheet = c.Conservative.record(), c.Datasheet.record()
				if c.Cutout != nil {
					t.Cutout = c.Cutout.record()
				}
			}
			r.RunTimes = append(r.RunTimes, t)
		}
	}
	for _, c := range a.Charges {
		e := ChargeRecord{Name: c.Name, Label: c.Label, Current: digits(float64(c.Current)), From: digits(c.From), Method: c.Method, Total: measured(c.Total), Error: c.Err}
		if c.Err == "" {
			e.RuleLow, e.RuleHigh = number(float64(c.RuleLow)), number(float64(c.RuleHigh))
		}
		r.Charges = append(r.Charges, e)
	}
	for _, d := range a.Life.At {
		r.Life = append(r.Life, DepthRecord{d.Name, digits(d.Depth), number(float64(d.Low)), number(float64(d.High)), d.Err})
	}
	r.Storage = number(float64(a.Life.Storage))
	if t := a.Tornado; t != nil {
		r.Matters = &TornadoRecord{Load: t.Load, To: t.To, Bars: []BarRecord{}, Error: t.Err}
		if t.Err == "" {
			r.Matters.Base = number(float64(t.Base))
		}
		for _, b := range t.Bars {
			r.Matters.Bars = append(r.Matters.Bars, BarRecord{b.Input, b.Low.Words, number(float64(b.Low.Time)), b.High.Words, number(float64(b.High.Time))})
		}
	}
	if p := a.Parallel; p != nil {
		r.Parallel = p.Words + p.Err
	}
	if c := a.Chatter; c != nil {
		r.Chatter = &ChatterRecord{c.Words, measured(c.Rebound), number(float64(c.Reset)), c.Reaches, c.Openings, c.Err}
	}
}

func (r *Reach) record() *ReachRecord {
	out := &ReachRecord{digits(float64(r.Volts)), measured(r.Running), measured(r.UnderLoad), measured(r.Clock), measured(r.Charge), measured(r.Energy), measured(r.Left), r.Err, nil}
	if r.Between != nil {
		out.Between = []*float64{number(float64(r.Between[0])), number(float64(r.Between[1]))}
	}
	return out
}

func measured[K quantity.Kind](m quantity.Measured[K]) Number {
	return Number{number(float64(m.Value)), number(float64(m.U)), m.Value.Dimension().BaseUnit()}
}

// number is a number for JSON in nine digits, so that it rounds as the value itself
// does wherever that is printed; JSON has none for what is not known.
func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	x = digits(x)
	return &x
}

func digits(x float64) float64 {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 9, 64), 64)
	return x
}
