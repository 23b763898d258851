package record

import (
	"math"
	"strconv"

	"voltwright/internal/predict"
	"voltwright/internal/quantity"
)

// Prediction is how long a version runs and charges.
type Prediction struct {
	Error    string       `json:"error,omitempty"`
	Basis    Basis        `json:"basis"`
	Accuracy Accuracy     `json:"accuracy"`
	RunTimes []RunTime    `json:"runTimes"`
	NoLoad   string       `json:"noLoad,omitempty"`
	Refused  []string     `json:"notTold,omitempty"` // loads that cannot be told at the payload asked for
	Charges  []ChargeTime `json:"chargeTimes"`
	Charged  []Charged    `json:"charges" about:"each run that was a charge, held against what had not seen it"`
	Life     []Depth      `json:"cycleLife"`
	Storage  *float64     `json:"storageVoltage" about:"V at rest, of the pack"`
	Matters  *Sensitivity `json:"whatMatters,omitempty"`
	Chatter  *Chatter     `json:"cutout,omitempty"`
	Parallel string       `json:"packsInParallel,omitempty"`
	Cautions []string     `json:"cautions,omitempty"`
}

// Number is a value with its standard uncertainty.
type Number struct {
	Value *float64 `json:"value" about:"in unit; null: not known"`
	U     *float64 `json:"standardUncertainty" about:"k = 1, in unit; null: not known"`
	Unit  string   `json:"unit"`
}

// Basis is a predict.Basis.
type Basis struct {
	Words      string           `json:"words"`
	Packs      string           `json:"packs,omitempty" about:"with the cutout, as they are stated"`
	Formulas   int              `json:"formulas" about:"number of the formulas that it was computed by: it rises with a change that moves answers"`
	Calibrated bool             `json:"calibrated"`
	Misfit     *float64         `json:"reducedChiSquare" about:"of the voltages; null without a calibration"`
	Values     []Figure         `json:"values"`
	Runs       []CalibrationRun `json:"runs"`
	Plugs      *PlugGrowth      `json:"growingPlugResistance,omitempty"`
}

// PlugGrowth is a predict.PlugGrowth.
type PlugGrowth struct {
	First  string  `json:"first"`
	Last   string  `json:"last"`
	Runs   int     `json:"runs"`
	Rise   float64 `json:"rise" about:"Ω, of the straight line by date"`
	Chance float64 `json:"chance" about:"Ω, what chance makes of it at most, 95 %"`
}

// CalibrationRun is a predict.CalibrationRun.
type CalibrationRun struct {
	Run    string `json:"run"`
	Taught bool   `json:"taught"`
	Why    string `json:"why"`

	After10s Number  `json:"resistanceAfter10s" about:"of packs, plugs and leads, by the first ten seconds of a log that begins at rest; null: it does not"`
	Plugs    float64 `json:"morePlugResistance" about:"Ω more than the best run that starts alike; 0: no more than runs scatter"`
	Best     string  `json:"bestPlugs,omitempty" about:"that run"`
	Heat     float64 `json:"plugHeat" about:"W that it makes, mean from the first load to the end of the run"`
	Mended   string  `json:"plugsMended,omitempty" about:"a later run that has none of it"`
	Out      Number  `json:"chargeOut"`
}

// Accuracy is a predict.Accuracy, with its checks.
type Accuracy struct {
	Words       string       `json:"words"`
	Time        *float64     `json:"meanRunningTimeError" about:"mean magnitude, as a part of the time, at the voltage that ends a run of the version; null: no run came down to it"`
	TimeRuns    int          `json:"runsThatCameDown" about:"how many runs came down to that voltage"`
	Inside      int          `json:"runsInside" about:"on how many of them the time lies within its interval, k = 2"`
	Voltage     *float64     `json:"voltageRootMeanSquare" about:"V of one cell"`
	Validations []Validation `json:"validations"`
}

// Validation is a predict.Validation, without its traces.
type Validation struct {
	Run       string   `json:"run"`
	By        []string `json:"calibratedOn"`
	Ended     *float64 `json:"runEndedAt" about:"V, of the pack: the last voltage under load, to which the two times are"`
	Measured  Number   `json:"runningTimeMeasured"`
	Predicted Number   `json:"runningTimePredicted"`
	Voltage   *float64 `json:"voltageRootMeanSquare" about:"V of one cell"`
	Why       string   `json:"why,omitempty"`

	Checks []LevelCheck `json:"levels" about:"of the voltages that answers are given for, those that the run reached"`
}

// LevelCheck is a predict.LevelCheck.
type LevelCheck struct {
	Level     string   `json:"level"`
	Volts     float64  `json:"voltage" about:"V, of the pack"`
	At        float64  `json:"comparedAt" about:"V: the level, or the last voltage of a run that ended just above it"`
	Measured  Number   `json:"runningTimeMeasured"`
	Predicted Number   `json:"runningTimePredicted"`
	Error     *float64 `json:"difference" about:"(predicted − measured)/measured"`
	Inside    bool     `json:"inside" about:"the measured time lies within the predicted interval, k = 2"`
}

func ofValidation(c predict.Validation) Validation {
	v := Validation{c.Run, append([]string{}, c.CalibratedOn...), number(float64(c.Ended)), measured(quantity.Unsure(c.Measured)), measured(c.Predicted), number(float64(c.Voltage)), c.Why, []LevelCheck{}}
	for _, l := range c.Checks {
		v.Checks = append(v.Checks, LevelCheck{l.Name, digits(float64(l.Volts)), digits(float64(l.At)), measured(quantity.Unsure(l.Measured)), measured(l.Predicted), number(l.TimeError()), l.Inside()})
	}
	return v
}

// RunTime is a predict.RunTime, with its load and its pack.
type RunTime struct {
	Name         string             `json:"name"`
	Load         string             `json:"load"`
	LoadWords    string             `json:"draws"`
	Source       predict.LoadSource `json:"source"`
	From         string             `json:"scaledFrom,omitempty"` // the run
	Duty         float64            `json:"shareUnderLoad" about:"of the time on the clock, 0 to 1"`
	Rest         *float64           `json:"drawsOffLoad,omitempty" about:"W, mean while not under load"`
	Counted      string             `json:"runningTimeCounted"`
	Ambient      float64            `json:"ambient" about:"°C"`
	Assumed      bool               `json:"ambientAssumed"`
	Capacity     float64            `json:"capacity" about:"Ah, of the packs as they are stated"`
	Error        string             `json:"error,omitempty"`
	EndsBy       string             `json:"endsBy"`
	Cutout       *EndPoint          `json:"cutout,omitempty"`
	Conservative *EndPoint          `json:"conservativeFloor,omitempty"`
	Datasheet    *EndPoint          `json:"dataSheetFloor,omitempty"`
	Replayed     *float64           `json:"timeOnTheClockWithItsOwnSwings" about:"s, with the run's own course of power repeated from full; null: not computed"`
}

// EndPoint is a predict.EndPoint.
type EndPoint struct {
	Volts     float64 `json:"voltage" about:"V, of the pack"`
	Checked   string  `json:"checked,omitempty" about:"how it stands at this voltage against runs that had not been seen"`
	Running   Number  `json:"runningTime"`
	UnderLoad Number  `json:"timeUnderLoad"`
	Clock     Number  `json:"timeOnTheClock"`
	Charge    Number  `json:"charge"`
	Energy    Number  `json:"energy"`
	Left      Number  `json:"left"`
	Error     string  `json:"error,omitempty"`

	Between []*float64 `json:"runningTimeBetween,omitempty" about:"s, bounds of about 95 % where the time is too unsure for a number"`
}

// ChargeTime is a predict.ChargeTime.
type ChargeTime struct {
	Name     string   `json:"name"`
	Label    string   `json:"label"`
	Current  float64  `json:"current" about:"A"`
	From     float64  `json:"chargedFrom" about:"charge at the start, 0 to 1"`
	Method   string   `json:"method,omitempty"`
	Most     Number   `json:"timeTo80"`
	Total    Number   `json:"time"`
	Energy   Number   `json:"energy"`
	Wall     Number   `json:"energyFromTheWall"`
	RuleLow  *float64 `json:"ruleOfThumbFrom" about:"s"`
	RuleHigh *float64 `json:"ruleOfThumbTo" about:"s"`
	Error    string   `json:"error,omitempty"`
}

// Charged is a predict.ChargeCheck.
type Charged struct {
	Run    string         `json:"run"`
	Start  string         `json:"began,omitempty" about:"how it is known where it began"`
	By     int            `json:"taughtByCharges"`
	Levels []ChargedLevel `json:"compared"`
	Why    string         `json:"error,omitempty"`
}

// ChargedLevel is a predict.ChargeLevel.
type ChargedLevel struct {
	Name      string  `json:"name"`
	Measured  float64 `json:"measured" about:"s, or Wh of an energy"`
	Predicted Number  `json:"predicted"`
	Off       float64 `json:"off" about:"(predicted - measured)/measured"`
	Verdict   string  `json:"verdict"`
}

// Depth is a predict.Depth.
type Depth struct {
	Name  string   `json:"name"`
	Depth float64  `json:"depth" about:"of discharge, 0 to 1"`
	Low   *float64 `json:"cyclesFrom" about:"cycles"`
	High  *float64 `json:"cyclesTo" about:"cycles"`
	Error string   `json:"error,omitempty"`
}

// Sensitivity is a predict.Sensitivity.
type Sensitivity struct {
	Load  string        `json:"load"`
	To    string        `json:"runningTimeTo"`
	Base  *float64      `json:"runningTime" about:"s"`
	Bars  []InputEffect `json:"inputs"`
	Next  *NextRun      `json:"oneMoreRun,omitempty"`
	Error string        `json:"error,omitempty"`
}

// NextRun is a predict.NextRun.
type NextRun struct {
	Words   string   `json:"words"`
	Part    float64  `json:"load" about:"of the load of the answer, as a part of it"`
	Ambient float64  `json:"ambient" about:"°C"`
	Now     *float64 `json:"expandedUncertaintyNow" about:"s, k = 2, of the running time"`
	After   *float64 `json:"expandedUncertaintyAfter" about:"s, k = 2"`
}

// InputEffect is a predict.InputEffect.
type InputEffect struct {
	Input    string   `json:"input"`
	Low      string   `json:"lower"`
	LowTime  *float64 `json:"runningTimeLower" about:"s, with the input lower"`
	High     string   `json:"higher,omitempty"`
	HighTime *float64 `json:"runningTimeHigher" about:"s, with the input higher"`
}

// Chatter is a predict.Chatter.
type Chatter struct {
	Words    string   `json:"words"`
	Rebound  Number   `json:"rebound"`
	Reset    *float64 `json:"resetPoint" about:"V, at which the cutout closes"`
	Reaches  bool     `json:"closesAgain"`
	Openings int      `json:"openings" about:"how often it opens with the load left on"`
	Error    string   `json:"error,omitempty"`
}

// OfPrediction makes the record of how long a version runs and charges.
func OfPrediction(a *predict.Prediction) Prediction {
	r := Prediction{Error: a.Err, RunTimes: []RunTime{}, Charges: []ChargeTime{}, Charged: []Charged{}, Life: []Depth{}, NoLoad: a.Table.None, Refused: a.Table.Refused, Cautions: a.Cautions,
		Basis:    Basis{Words: a.Basis.Words, Packs: a.Basis.Packs, Formulas: predict.Formulas(), Calibrated: a.Basis.Calibrated, Misfit: number(a.Basis.Misfit), Values: []Figure{}, Runs: []CalibrationRun{}},
		Accuracy: Accuracy{Words: a.Accuracy.Words, Time: number(a.Accuracy.Time), TimeRuns: a.Accuracy.TimeRuns, Inside: a.Accuracy.Inside, Voltage: number(float64(a.Accuracy.Voltage)), Validations: []Validation{}}}
	if a.Err != "" {
		r.Basis.Misfit, r.Accuracy.Time, r.Accuracy.Voltage = nil, nil, nil
		return r
	}
	for _, v := range a.Basis.Values {
		r.Basis.Values = append(r.Basis.Values, Figure{Name: v.Name, Label: v.Label, Number: numberOf(v.Quantity)})
	}
	for _, l := range a.Basis.Runs {
		_, why := a.Use(l)
		r.Basis.Runs = append(r.Basis.Runs, CalibrationRun{l.Run, l.Taught, why, measured(l.Contact.After10s), digits(float64(l.Contact.More)), l.Contact.Best, digits(float64(l.Contact.Heat)), l.Contact.Mended, measured(l.Out)})
	}
	if g := a.Basis.Plugs; g != nil {
		r.Basis.Plugs = &PlugGrowth{g.First, g.Last, g.Runs, digits(float64(g.Rise)), digits(float64(g.Chance))}
	}
	for _, c := range a.Validations {
		r.Accuracy.Validations = append(r.Accuracy.Validations, ofValidation(c))
	}
	r.tables(a)
	return r
}

func (r *Prediction) tables(a *predict.Prediction) {
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
				checked := func(e *predict.EndPoint) string {
					if j > 0 {
						return "" // runs are of the version's own packs
					}
					return a.CheckedWords(l, e.Level)
				}
				t.Conservative, t.Datasheet = ofEndPoint(&c.Conservative, checked(&c.Conservative)), ofEndPoint(&c.Datasheet, checked(&c.Datasheet))
				if c.Cutout != nil {
					t.Cutout = ofEndPoint(c.Cutout, checked(c.Cutout))
				}
			}
			r.RunTimes = append(r.RunTimes, t)
		}
	}
	for _, c := range a.Charges {
		e := ChargeTime{Name: c.Name, Label: c.Label, Current: digits(float64(c.Current)), From: digits(c.From), Method: c.Method, Most: measured(c.Most), Total: measured(c.Total), Energy: measured(c.Energy), Wall: measured(c.Wall), Error: c.Err}
		if c.Err == "" {
			e.RuleLow, e.RuleHigh = number(float64(c.RuleLow)), number(float64(c.RuleHigh))
		}
		r.Charges = append(r.Charges, e)
	}
	for _, c := range a.ChargeRuns {
		e := Charged{Run: c.Run, Start: c.Start, By: c.By, Levels: []ChargedLevel{}, Why: c.Why}
		for _, l := range c.Levels {
			e.Levels = append(e.Levels, ChargedLevel{l.Name, digits(l.Measured.Value), numberOf(l.Predicted), digits(l.Off()), l.Verdict()})
		}
		r.Charged = append(r.Charged, e)
	}
	for _, d := range a.Life.At {
		r.Life = append(r.Life, Depth{d.Name, digits(d.Depth), number(float64(d.Low)), number(float64(d.High)), d.Err})
	}
	r.Storage = number(float64(a.Life.Storage))
	if t := a.Sensitivity; t != nil {
		r.Matters = &Sensitivity{Load: t.Load, To: t.To, Bars: []InputEffect{}, Error: t.Err}
		if t.Err == "" {
			r.Matters.Base = number(float64(t.Base))
		}
		if n := t.Next; n != nil {
			r.Matters.Next = &NextRun{n.Words, digits(n.Part), digits(float64(n.Ambient)), number(float64(n.Now)), number(float64(n.After))}
		}
		for _, b := range t.Inputs {
			r.Matters.Bars = append(r.Matters.Bars, InputEffect{b.Input, b.Low.Words, number(float64(b.Low.Time)), b.High.Words, number(float64(b.High.Time))})
		}
	}
	if p := a.Parallel; p != nil {
		r.Parallel = p.Words + p.Err
	}
	if c := a.Chatter; c != nil {
		r.Chatter = &Chatter{c.Words, measured(c.Rebound), number(float64(c.Reset)), c.Reaches, c.Openings, c.Err}
	}
}

func ofEndPoint(r *predict.EndPoint, checked string) *EndPoint {
	out := &EndPoint{Volts: digits(float64(r.Volts)), Running: measured(r.Running), UnderLoad: measured(r.UnderLoad), Clock: measured(r.Clock), Charge: measured(r.Charge), Energy: measured(r.Energy), Left: measured(r.Left), Error: r.Err, Checked: checked}
	if r.Between != nil {
		out.Between = []*float64{number(float64(r.Between[0])), number(float64(r.Between[1]))}
	}
	return out
}

func measured[K quantity.Kind](m quantity.Measured[K]) Number {
	return Number{number(float64(m.Value)), number(float64(m.U)), m.Value.Dimension().BaseUnit()}
}

// optional is the number of a quantity that may be absent, in the base unit of its dimension.
func optional(d quantity.Dimension, o quantity.Optional[quantity.Quantity]) Number {
	n := Number{Unit: d.BaseUnit()}
	if q, ok := o.Get(); ok {
		n.Value, n.U = number(q.Value), number(q.U)
	}
	return n
}

func numberOf(q quantity.Quantity) Number {
	return Number{number(q.Value), number(q.U), q.Dimension.BaseUnit()}
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
