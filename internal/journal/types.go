package journal

import (
	"sync"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// Journal is the folder of notes that one maker keeps, resolved.
type Journal struct {
	Title    notes.Word                 `key:"title,required"`
	Address  notes.Word                 `key:"address"` // where the site will stand
	Language notes.Word                 `key:"language"`
	Currency notes.Word                 `key:"currency"`
	Units    []notes.Choice[UnitSystem] `key:"units"` // in order of preference
	Licence  notes.Word                 `key:"licence"`
	Maker    Maker                      `key:"maker,required"`
	Notice   notes.Word                 `key:"notice"`  // printed on every page
	Theme    notes.Choice[Theme]        `key:"theme"`   // that its pages are made with
	Sources  []Source                   `key:"sources"` // what sentences quote
	Security *Security                  `key:"security"`

	Note        *notes.Note   // journal.yaml
	Folder      *notes.Folder // where everything was read from
	Vehicles    []*Vehicle    // by folder name
	Notes       []*NotePage   // notes/, newest first
	Questions   []*NotePage   // questions/, by rank, then by file name
	Corrections []*NotePage   // corrections/, newest first
	Used        []Attachment  // the files beside the notes that a page needs, by path

	faulty   map[string]bool     // the notes that have errors of their own, by path
	users    map[string][]string // of each file of Used the notes that name it, by path
	accounts sync.Map            // of the versions that were asked for
}

// Maker is who keeps the journal.
type Maker struct {
	Name  notes.Word `key:"name,required"`
	Place notes.Word `key:"place"`
}

// Security is whom to tell of a hole in the site (RFC 9116).
type Security struct {
	Contact notes.Word `key:"contact,required"`
	Expires notes.Date `key:"expires,required"`

	Span finding.Span `key:"@"`
}

// Vehicle is one vehicle with its versions.
type Vehicle struct {
	Kind    notes.Word `key:"kind,required"`
	Name    notes.Line `key:"name,required"`
	Summary notes.Line `key:"summary"`   // one line
	Held    notes.Flag `key:"held-back"` // with all its versions
	Facts   []Fact     `key:"facts"`

	Year         notes.Integer                `key:"year"`  // in which it was built
	Gauge        notes.Value[quantity.Metres] `key:"gauge"` // between the rails of its line
	Wheels       notes.Word                   `key:"wheels"`
	Tyres        notes.Word                   `key:"tyres"`
	Transmission notes.Word                   `key:"transmission"`
	Seats        notes.Integer                `key:"seats"`
	RunsAt       notes.Word                   `key:"runs-at"` // where it runs, by a name
	Maintenance  []Maintenance                `key:"maintenance"`
	ToDo         []notes.Word                 `key:"to-do"`

	Lead    *Photo      `key:"lead"` // the picture that the page opens with
	Gallery []Photo     `key:"gallery"`
	Marks   []PhotoMark `key:"marks"` // on the lead

	Slug     string // the folder's name
	Note     *notes.Note
	document *notes.Document
	Versions []*Version // by number
}

// Version is one state of a vehicle: a spec, a story and its runs.
type Version struct {
	Kind       notes.Word          `key:"kind,required"`
	Name       notes.Line          `key:"name,required"`
	Date       notes.Date          `key:"date,required"`
	Follows    notes.Word          `key:"follows"` // slug of the version before
	Like       notes.Word          `key:"like"`    // the version whose spec holds where this one says nothing: slug, or vehicle/slug
	Without    []notes.Word        `key:"without"` // what of that one is not there
	State      notes.Choice[State] `key:"state"`
	Held       notes.Flag          `key:"held-back"` // with its runs
	Summary    notes.Line          `key:"summary"`
	Packs      []Pack              `key:"packs"` // in parallel
	Cutout     *Cutout             `key:"cutout"`
	Controller *Controller         `key:"controller"`
	Throttle   *Throttle           `key:"throttle"`
	Converters []Converter         `key:"converters"`
	Motors     []Motor             `key:"motors"`
	Drive      *Drive              `key:"drive"`
	Masses     *Masses             `key:"masses"`
	Parts      []Part              `key:"parts"`
	Charger    *Charger            `key:"charger"`
	Use        *Use                `key:"use"`
	Answers    []Answer            `key:"answers"`
	Wiring     *Wiring             `key:"wiring"`
	Subjects   Names               `key:"subjects"`
	Failures   []Failure           `key:"failures"`
	ToDo       []notes.Word        `key:"to-do"`
	TaughtBy   []notes.Word        `key:"taught-by"` // slugs of the runs that teach what its packs do; none: every one that can
	Facts      []Fact              `key:"facts"`
	Lead       *Photo              `key:"lead"` // the picture that the page opens with
	Gallery    []Photo             `key:"gallery"`
	Marks      []PhotoMark         `key:"marks"` // on the lead

	Vehicle  *Vehicle
	Slug     string   // the folder's name: "2-lifepo4"
	Number   int      // from the slug
	Before   *Version // the one that Follows names, or nil
	Note     *notes.Note
	document *notes.Document
	Runs     []*Run // by date, then by slug

	LikeVersion *Version    // the one that Like names, or nil
	TakenOver   []string    // keys of the spec of which something was taken over from it, in its order
	written     *notes.Node // the front matter in full
	unheard     *notes.Node // the same, made for a version that is like this one before it was this one's turn
	strayed     bool        // leads are missing from the wiring, which is told already

	PartsSource string // path of the file that the parts were read from; "" where they stand in the note
}

// Pack is one pack of cells. Two batteries in series are one pack.
type Pack struct {
	Name       notes.Word                        `key:"name"`
	Chemistry  notes.Choice[Chemistry]           `key:"chemistry,required"`
	Series     notes.Integer                     `key:"series,required"` // cells in series
	Parallel   notes.Integer                     `key:"parallel"`        // cells in parallel; not written is 1
	Capacity   notes.Value[quantity.AmpereHours] `key:"capacity,required"`
	Resistance notes.Value[quantity.Ohms]        `key:"resistance"`
	Full       notes.Value[quantity.Volts]       `key:"full"` // charge voltage
	Mass       notes.Value[quantity.Kilograms]   `key:"mass"`
	Joined     notes.Choice[Joining]             `key:"joined"`
	Protection Protection                        `key:"protection"`
	Discharge  notes.Value[quantity.Amperes]     `key:"discharge"` // the most that its data sheet allows without end
	Made       notes.Date                        `key:"made"`
	Fuse       PackFuse                          `key:"fuse"`
	JoinedAt   notes.Value[quantity.Volts]       `key:"joined-at"` // at rest, when it was joined to the others
	Sheet      *Sheet                            `key:"sheet"`     // what its own data sheet says
	AsFound    Found                             `key:"as-found"`
	Used       *Used                             `key:"used"`

	Span finding.Span `key:"@"`
}

// Protection is what a pack's own protection does: nothing known if not Set,
// nothing at all if None, nothing in a vehicle if Tied to the appliance that the
// pack came from, else the points at which it opens.
type Protection struct {
	Set  bool
	None bool
	Tied bool
	Span finding.Span
	ProtectionPoints
}

// ProtectionPoints are the points at which a pack's own protection acts.
type ProtectionPoints struct {
	Opens       notes.Value[quantity.Volts]   `key:"opens"`
	Current     notes.Value[quantity.Amperes] `key:"current"`
	ChargeStops notes.Value[quantity.Volts]   `key:"charge-stops"`
	Tested      notes.Word                    `key:"tested"` // the run in which it was seen to open
}

// Cutout is a low-voltage cutout of the vehicle's own.
type Cutout struct {
	Opens     notes.Value[quantity.Volts]   `key:"opens,required"`
	Threshold notes.Value[quantity.Volts]   `key:"reset-threshold"` // closes again this much above Opens
	Delay     notes.Value[quantity.Seconds] `key:"delay"`
	Current   notes.Value[quantity.Amperes] `key:"current"`
	AsFound   Found                         `key:"as-found"`

	Span finding.Span `key:"@"`
}

// Controller is the speed controller.
type Controller struct {
	Kind       notes.Choice[ControllerKind]   `key:"kind"`
	Voltage    notes.Range[quantity.Volts]    `key:"voltage"`
	Current    notes.Value[quantity.Amperes]  `key:"current"`
	Setting    notes.Value[quantity.Fraction] `key:"setting"`
	Efficiency notes.Value[quantity.Fraction] `key:"efficiency"`
	Limit      notes.Value[quantity.Amperes]  `key:"limit"` // to which it holds the motors' current
	AsFound    Found                          `key:"as-found"`
	Precharge  *Precharge                     `key:"precharge"`

	Regenerates notes.Flag                  `key:"regenerates"` // whether it brakes into the pack
	HoldsAt     notes.Value[quantity.Volts] `key:"holds-at"`    // the voltage to which it holds the pack while it brakes

	Span finding.Span `key:"@"`
}

// Motor is one motor, or several that are alike.
type Motor struct {
	Name          notes.Word                                 `key:"name"`
	Rated         notes.Value[quantity.Volts]                `key:"rated"`
	Power         notes.Value[quantity.Watts]                `key:"power"`
	NoLoadSpeed   notes.Value[quantity.RevolutionsPerMinute] `key:"no-load-speed"`
	NoLoadCurrent notes.Value[quantity.Amperes]              `key:"no-load-current"`
	Resistance    notes.Value[quantity.Ohms]                 `key:"resistance"`
	StallCurrent  notes.Value[quantity.Amperes]              `key:"stall-current"`
	RatedSpeed    notes.Value[quantity.RevolutionsPerMinute] `key:"rated-speed"`
	RatedCurrent  notes.Value[quantity.Amperes]              `key:"rated-current"`
	Copper        notes.Value[quantity.Kilograms]            `key:"copper"`     // of the winding
	Insulation    notes.Choice[ThermalClass]                 `key:"insulation"` // of the winding
	Count         notes.Integer                              `key:"count"`      // not written is 1
	AsFound       Found                                      `key:"as-found"`

	Span finding.Span `key:"@"`
}

// Drive is what lies between the motors and the ground.
type Drive struct {
	Ratio   notes.Value[quantity.Number] `key:"ratio"` // turns of the motor to one of the wheel
	Wheel   notes.Value[quantity.Metres] `key:"wheel"` // diameter
	Surface notes.Choice[Surface]        `key:"surface"`

	GearEfficiency notes.Value[quantity.Fraction]          `key:"gear-efficiency"`
	Rolling        notes.Value[quantity.Number]            `key:"rolling"` // coefficient, force over weight
	Hill           notes.Word                              `key:"hill"`    // steepest climb, as "1 in 60"
	Cruise         notes.Word                              `key:"cruise"`  // grade that it mostly runs on
	DragArea       notes.Value[quantity.SquareMillimetres] `key:"drag-area"`
	TopSpeed       notes.Value[quantity.MetresPerSecond]   `key:"top-speed"` // as wanted
	TrackWidth     notes.Value[quantity.Metres]            `key:"track-width"`
	Curve          notes.Value[quantity.Metres]            `key:"curve"` // radius of the tightest
	Braking        *Braking                                `key:"braking"`
	AsFound        Found                                   `key:"as-found"` // its wheels, axles, gears and brakes

	Span finding.Span `key:"@"`
}

// Braking is how the vehicle is stopped: by a force at the rims or by a measured
// deceleration, one of the two.
type Braking struct {
	Deceleration notes.Value[quantity.MetresPerSecondSquare] `key:"deceleration"`
	Force        notes.Value[quantity.Newtons]               `key:"force"`
	Reaction     notes.Value[quantity.Seconds]               `key:"reaction"`

	Span finding.Span `key:"@"`
}

// Wagon is a kind of wagon that is pulled, beside vehicle and payload.
type Wagon struct {
	Name    notes.Word                      `key:"name"`
	Mass    notes.Value[quantity.Kilograms] `key:"mass,required"` // of one, with what it carries
	Count   notes.Integer                   `key:"count"`         // not written is 1
	Rolling notes.Value[quantity.Number]    `key:"rolling"`       // not written is the way's
	Height  notes.Value[quantity.Metres]    `key:"height"`        // of its centre of mass

	Span finding.Span `key:"@"`
}

// Masses are the masses that the motors move.
type Masses struct {
	Vehicle notes.Value[quantity.Kilograms] `key:"vehicle"`
	Payload notes.Value[quantity.Kilograms] `key:"payload"`
	Wagons  []Wagon                         `key:"wagons"` // not in the payload

	VehicleHeight notes.Value[quantity.Metres] `key:"vehicle-height"` // of its centre of mass, empty
	PayloadHeight notes.Value[quantity.Metres] `key:"payload-height"` // the same of what it carries

	Span finding.Span `key:"@"`
}

// Run is one trial of a version: method in the front matter, remarks in the
// body, and one of a log, readings or a stopwatch's laps as evidence.
type Run struct {
	Kind        notes.Word                      `key:"kind,required"`
	Type        notes.Choice[RunType]           `key:"type,required"`
	Name        notes.Line                      `key:"name,required"`
	Date        notes.Date                      `key:"date,required"`
	Summary     notes.Line                      `key:"summary"`
	Held        notes.Flag                      `key:"held-back"`
	Subjects    Names                           `key:"subjects"`
	Conditions  Conditions                      `key:"conditions"`
	Instruments []Instrument                    `key:"instruments"`
	Log         *Log                            `key:"log"`
	Readings    []Reading                       `key:"readings"`
	Stopwatch   *Stopwatch                      `key:"stopwatch"`
	PauseAfter  notes.Value[quantity.Seconds]   `key:"pause-after"`
	Idle        notes.Value[quantity.Amperes]   `key:"idle"`
	WallEnergy  notes.Value[quantity.WattHours] `key:"wall-energy"` // a meter in the wall socket, over a charge
	Ended       notes.Line                      `key:"ended"`
	Outcome     notes.Choice[Outcome]           `key:"outcome"`
	Learned     notes.Word                      `key:"learned"`     // from a run that fell short
	FirstPower  []PowerReading                  `key:"first-power"` // what a meter showed at the steps of the first power-up

	PublishPosition notes.Flag  `key:"publish-position"` // whether the positions of its log may go online, zones left out
	Answers         []Answer    `key:"answers"`
	Facts           []Fact      `key:"facts"`
	Lead            *Photo      `key:"lead"` // the picture that the page opens with
	Gallery         []Photo     `key:"gallery"`
	Marks           []PhotoMark `key:"marks"` // on the lead

	Version  *Version
	Slug     string // the file's name without .md
	Note     *notes.Note
	document *notes.Document
}

// PowerReading is what a meter showed at one step of a version's first power-up.
type PowerReading struct {
	Step  notes.Word   `key:"step,required"` // its name on the page of the first power-up
	Reads notes.Amount `key:"reads,required"`

	Span finding.Span `key:"@"`
}

// Conditions are what a run was made under.
type Conditions struct {
	Temperature notes.Value[quantity.Celsius]   `key:"temperature"`
	Payload     notes.Value[quantity.Kilograms] `key:"payload"`
	Surface     notes.Choice[Surface]           `key:"surface"`
	Setting     notes.Value[quantity.Fraction]  `key:"setting"`
	Note        notes.Word                      `key:"note"`
	Weather     notes.Word                      `key:"weather"`
	Track       notes.Word                      `key:"track"`  // which way it went, and how that was
	People      notes.Word                      `key:"people"` // who was aboard and who measured
}

// Instrument is what one channel was measured with.
type Instrument struct {
	Name       notes.Word            `key:"name"`
	Measures   notes.Choice[Measure] `key:"measures,required"`
	Accuracy   notes.Accuracy        `key:"accuracy"`
	Resolution notes.Amount          `key:"resolution"` // in a unit of what it measures
	Highest    notes.Amount          `key:"highest"`    // the greatest value that it can read; the same

	Span finding.Span `key:"@"`
}

// Log is a log file and what the maker states about it.
type Log struct {
	File      notes.Word                    `key:"file,required"`
	Columns   Columns                       `key:"columns"` // channel → head of its column
	Time      notes.Choice[TimeFormat]      `key:"time"`
	Decimal   notes.Choice[DecimalMark]     `key:"decimal"`
	Separator notes.Choice[Separator]       `key:"separator"`
	Discharge notes.Choice[Sign]            `key:"discharge"`
	Step      notes.Value[quantity.Seconds] `key:"step"`
	Gap       notes.Value[quantity.Seconds] `key:"gap"`
	Part      notes.Word                    `key:"part"`

	Path string       // inside the journal, "" where the file cannot be used
	Span finding.Span `key:"@"`
}

// Columns names the column of a channel by its head, or by its number: `"#2"`.
type Columns map[runlog.Channel]notes.Word

// Reading is one row of values read from meters by hand.
type Reading struct {
	At          notes.Value[quantity.Seconds]         `key:"at,required"`
	Voltage     notes.Value[quantity.Volts]           `key:"voltage"`
	Current     notes.Value[quantity.Amperes]         `key:"current"`
	Temperature notes.Value[quantity.Celsius]         `key:"temperature"`
	Speed       notes.Value[quantity.MetresPerSecond] `key:"speed"`
	Distance    notes.Value[quantity.Metres]          `key:"distance"`

	Span finding.Span `key:"@"`
}

// Stopwatch is a run timed by hand.
type Stopwatch struct {
	Resolution notes.Value[quantity.Seconds]   `key:"resolution"`
	Lap        notes.Value[quantity.Metres]    `key:"lap"` // length of a lap
	Laps       []notes.Value[quantity.Seconds] `key:"laps,required"`
	Stops      []LapStop                       `key:"stops"`
	Voltages   *EndVoltages                    `key:"voltages"`

	Span finding.Span `key:"@"`
}

// LapStop is a stop within a lap, the clock running on.
type LapStop struct {
	Lap    notes.Integer                 `key:"lap,required"` // from 1
	Lasted notes.Value[quantity.Seconds] `key:"lasted,required"`
	Why    notes.Word                    `key:"why"`

	Span finding.Span `key:"@"`
}

// EndVoltages are read from a display before and after.
type EndVoltages struct {
	Start notes.Value[quantity.Volts] `key:"start"`
	End   notes.Value[quantity.Volts] `key:"end"`
}

// NotePage is a note, a question or a correction.
type NotePage struct {
	Kind     notes.Word  `key:"kind,required"`
	Title    notes.Line  `key:"title,required"`
	Date     notes.Date  `key:"date"`
	Summary  notes.Line  `key:"summary"`
	Held     notes.Flag  `key:"held-back"`
	Subjects Names       `key:"subjects"`
	Facts    []Fact      `key:"facts"`
	Lead     *Photo      `key:"lead"` // the picture that the page opens with
	Gallery  []Photo     `key:"gallery"`
	Marks    []PhotoMark `key:"marks"` // on the lead

	Slug       string // the file's name without .md
	Note       *notes.Note
	document   *notes.Document
	Question   *Question   // nil for any other note
	Correction *Correction // nil for any other note
}

// Attachment is a file beside the notes that a page needs, and where it is asked for.
type Attachment struct {
	Path string
	Kind AttachmentKind
	From finding.Span
}

// AttachmentKind says what an attachment is for.
type AttachmentKind string

// The kinds of attachment.
const (
	LogFile AttachmentKind = "log"
	Picture AttachmentKind = "picture"
	Linked  AttachmentKind = "file"

	PartsTable AttachmentKind = "parts"
)

// RunID names a run in the journal, "shunter/2-lifepo4/bench-2026-04-12"; it is
// also the run's path on the site.
type RunID string

// ID is the path of the run on the site.
func (r *Run) ID() RunID { return RunID(r.Version.Path() + "/" + r.Slug) }

// Path is the path of the version on the site: "shunter/2-lifepo4".
func (v *Version) Path() string { return v.Vehicle.Slug + "/" + v.Slug }

// StatesDrive says whether the version states anything of a drive.
func (v *Version) StatesDrive() bool { return len(v.Motors) > 0 || v.Drive != nil }
