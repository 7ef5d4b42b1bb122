package doc

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"footwork/internal/shop/turn"
	"footwork/internal/unit"
	"footwork/survey"
)

// Bench is what cards at the bed need to know of the job.
type Bench struct {
	Setups []survey.Survey
	Units  unit.System
}

// Shown is a card in words: few, and one large number.
type Shown struct {
	News   Text // what the last reading told
	Head   Text // what to do
	Large  string
	Words  []Text
	Prompt string
}

func (s *Shown) say(sentence string, fill ...any) { s.Words = append(s.Words, say(sentence, fill...)) }

// reading returns a reading in the unit of its set-up, with what of it is large.
func (b Bench) reading(c turn.Card, v float64) string {
	gauge := b.Units.Height()
	u := survey.Survey{Scale: gauge.One, Unit: gauge.Unit}
	if i := slices.IndexFunc(b.Setups, func(s survey.Survey) bool { return s.Name == c.Survey }); i >= 0 && !c.Gauge {
		u = b.Setups[i]
	}
	d := readingDisplay(u.Unit)
	if u.Unit == "arcsec" && math.Abs(v/u.One()) >= 60 {
		whole := math.Trunc(math.Abs(v/u.One()) / 60)
		return fmt.Sprintf("%s%.0f′%04.1f″", pick(v < 0, "−", ""), whole, math.Abs(v/u.One())-60*whole)
	}
	return Quantity{Kind: Reading, Value: v}.Digits(unit.Display{One: u.One(), Decimals: d.Decimals}) + "\u00a0" + u.Unit
}

// instrument is what is moved to a card's place.
func (b Bench) instrument(c turn.Card) string {
	for _, s := range b.Setups {
		switch {
		case s.Name != c.Survey:
		case s.Sighted():
			return "reflector"
		case s.Instrument == survey.Heights:
			return "indicator"
		}
	}
	return "level"
}

var questions = map[turn.What]string{
	turn.BoltsSlack:    "Are the holding-down bolts slack at every foot? (yes, no, or none where there are none)",
	turn.NothingTall:   "Is there nothing tall or loose on the bed, and nobody leaning on it?",
	turn.DriveIsolated: "Is the drive isolated, and the table parked where the job says and locked?",
	turn.Blocked:       "Is it blocked close under the bed, and nobody under it?",
	turn.LockNuts:      "Do its feet have lock nuts?",
	turn.Alone:         "Are you alone?",
}

var stops = map[turn.What]string{
	turn.BoltsSlack:    "Slacken the bolts at every foot first: a bed that is bolted down is bent by what its feet do.",
	turn.NothingTall:   "Clear the bed first: what leans or falls moves more than any screw.",
	turn.DriveIsolated: "Isolate the drive, park the table and lock it first.",
	turn.Blocked:       "Block the bed first, close under it; nobody works under a bed that stands on screws or jacks alone.",
}

var meanings = map[turn.Meaning]string{
	turn.WrongWay: "the foot went the other way (a left-hand thread, a wedge that sinks)",
	turn.Unmoved:  "nothing moved: the foot hangs, the screw only winds up, or a foot far from here was turned",
	turn.Sign:     "the sign was read wrongly",
	turn.Tenfold:  "the decimal point is in another place",
	turn.Knock:    "the instrument was knocked, or misread",
}

// Card puts a card into words.
func (b Bench) Card(c turn.Card) Shown {
	out := Shown{Prompt: "reads"}
	if n := c.News; n != nil && n.Foot != "" {
		out.News = say(pick(n.Nut, "The nut of {} moved it {} {± height}.{}", "{} came {} {± height}.{}"), n.Foot, amount(n.Raised), 2*n.SD,
			also(n.High > 0, " The ways are now {height} out of straight ({height} to {height}).", n.Zone, n.Low, n.High))
	}
	switch c.Kind {
	case turn.Question:
		out.Head, out.Prompt = Text{questions[c.What]}, "yes or no"
	case turn.Read:
		out.Head = say("Stand the {} at {spot} for “{}” and wait 15 seconds. What does it read?", b.instrument(c), c.At, c.Survey)
	case turn.Rest:
		out.Head = pick(c.Wait, say("Not yet: the bed is still moving. Wait as long again, then read again at {spot}.", c.At),
			say("Touch nothing for 15 minutes, then read again at {spot} for “{}”.", c.At, c.Survey))
		out.say("It read {}.", b.reading(c, c.Before))
	case turn.Trial, turn.Step, turn.Back:
		b.turning(c, &out)
	case turn.Touch:
		out.Head, out.Large = say("{}{}: raise until it nips a {leaf} foil, or the reading just stirs.", step(c), c.Foot, foil), c.Foot
		out.Words, out.Prompt = []Text{say("Then say nips; free while it still turns freely, solid if it carries already.")}, "nips, free or solid"
		if c.Down {
			out.Head = say("{}{}: let it down until it turns freely, then raise it until it nips a {leaf} foil, or the reading just stirs.", step(c), c.Foot, foil)
			out.Words, out.Prompt = []Text{say("What it carries is known too little for another turn, and that tells. Then say nips; it is raised again next.")}, "nips or skip"
		}
		if c.Survey != "" || c.Gauge {
			out.say("Watch it {}; from {}.", sighted(c), b.reading(c, c.Before))
		}
	case turn.Angle:
		out.Head, out.Large = say("{}{} {} by {}.", step(c), upper(c.Raise), c.Foot, far(c)), far(c).In(b.Units)
		out.Words, out.Prompt = []Text{say("No instrument of the job tells this better than the angle: go by that, then say done.")}, "done"
	case turn.Misfit:
		b.misfit(c, &out)
	default:
		b.after(c, &out)
	}
	b.beyond(c, &out)
	return out
}

// beyond is what any card may say beyond what it asks for.
func (b Bench) beyond(c turn.Card, out *Shown) {
	if c.Lightened != "" {
		out.say("{} went light: that lets it carry.", c.Lightened)
	}
	if c.Settle {
		out.say("Then let the bed settle: {leaf} at once is much.", turn.AtOnce)
	}
	if len(c.Feel) > 0 && c.Kind != turn.Bolt && c.Kind != turn.Solid {
		out.say("Feel {}: {} must stay solid.", list(c.Feel), pick(len(c.Feel) == 1, "it", "they"))
	}
	if len(c.Came) > 0 {
		came := joined(each(c.Came, func(n turn.News) Text { return say("{} came {} {± height}", n.Foot, amount(n.Raised), 2*n.SD) }))
		out.say("Since the survey {}.", came)
	}
}

// after is what follows the turning of feet: nuts and bolts, feet to be felt, another survey, the end.
func (b Bench) after(c turn.Card, out *Shown) {
	switch c.Kind {
	case turn.Slacken:
		out.Head = say("First see what the lock nut of {} does: slacken it, turn nothing. What does {} read now?", c.Foot, b.stands(c))
		out.say("Before that it reads {}; if not, strike out.", b.reading(c, c.Before))
	case turn.Nut:
		out.Head, out.Prompt = say("Tighten the lock nut of {}, and say lock.", c.Foot), "lock or skip"
	case turn.Locked:
		out.Head = say("{} is locked: what does {} read now?", c.Foot, b.stands(c))
	case turn.Bolt:
		out.Head = say("Tighten the bolts, {%d} of 3: a third each, crosswise: {}. Then read at {spot} for “{}”.", c.Step, list(c.Feel), c.At, c.Survey)
		out.say("It read {}; more than {} of change is too much.", b.reading(c, c.Before), b.reading(c, c.Within))
	case turn.Repack:
		out.Head = say("That moved the bed: {} where it read {}. Slacken all bolts, repack under the one that pulled, begin again, and read.", b.reading(c, c.Fed), b.reading(c, c.Before))
	case turn.Two:
		what := say("{} {}", c.Foot, amount(c.Raise))
		if c.Down {
			what = say("To let {} down", c.Foot)
		}
		out.Head, out.Prompt = say("{}{} needs two people: fetch someone and say two, or skip.", step(c), what), "two or skip"
	case turn.Resurvey:
		out.Head, out.Prompt = say("Survey {} too, and type for each: survey NAME FILE.", list(c.Surveys)), "survey NAME FILE, or skip"
		if c.Now > 0 {
			out.Head = say("The readings tell no more: the ways are {height} out of straight, and surveyed anew the feet could bring them to about {height}.", c.Now, c.Known)
			if c.Known == 0 {
				out.Head = say("{} only a survey tells more: the ways are about {height} out of straight.",
					pick(c.Few, "Hardly any bed that the last survey left possible reads as was read since, so", "After so many turns"), c.Now)
			}
			out.say("Survey {}, and type for each: survey NAME FILE. Or skip, and leave it so.", list(c.Surveys))
		}
	case turn.Solid:
		if out.Head, out.Prompt = say("Feel {}: does it carry?", c.Feel[0]), "yes or free"; len(c.Feel) > 1 {
			out.Head, out.Prompt = say("Feel {}: do all of them carry?", list(c.Feel)), "yes, or free and the foot"
		}
	case turn.Over:
		b.over(c, out)
	}
}

func step(c turn.Card) string { return fmt.Sprintf("Step %d of %d. ", c.Step, c.Of) }

func upper(raise float64) string { return pick(raise < 0, "Lower", "Raise") }

// far is how far to turn: a screw's angle and the spanner's end, else the height.
func far(c turn.Card) Text {
	if c.By.Rise > 0 {
		return say("about {}", screwWords(math.Abs(c.Raise)/c.By.Rise*2*math.Pi, c.By.Wrench))
	}
	return say("about {height}", math.Abs(c.Raise))
}

// turning says until where to turn, how it looks when it goes the wrong way.
func (b Bench) turning(c turn.Card, out *Shown) {
	way := upper(c.Raise)
	switch c.Kind {
	case turn.Back:
		out.Head = say("Turn {} back until it reads", c.Foot)
	case turn.Trial:
		out.Head = say("{}A trial: {} {} ({}) until it reads", step(c), strings.ToLower(way), c.Foot, far(c))
	default:
		out.Head = say("{}{} {} ({}) until it reads", step(c), way, c.Foot, far(c))
	}
	out.Large = b.reading(c, c.Until)
	out.say("{}; from {}, within {}.", sighted(c), b.reading(c, c.Before), b.reading(c, c.Within))
	if math.Abs(c.ByNut) > c.Within/2 && c.Kind != turn.Back {
		out.say("Stop there: its lock nut then brings it to {}.", b.reading(c, c.Until+c.ByNut))
	}
	if c.Part {
		out.say("That is part of the way: what it does to the others is to be seen before it goes farther.")
	}
	if c.Kind != turn.Back {
		out.say("Towards {} is the wrong way: stop. Overshot: back past by {height} and come up again.", b.reading(c, 2*c.Before-c.Until), 20e-6)
	}
}

func sighted(c turn.Card) Text {
	if c.Gauge {
		return say("the indicator beside {}", c.Foot)
	}
	return say("at {spot} for “{}”", c.At, c.Survey)
}

// stands names the instrument where it stands.
func (b Bench) stands(c turn.Card) Text {
	if c.Gauge {
		return sighted(c)
	}
	return say("the {} at {spot}", b.instrument(c), c.At)
}

// fewFeet are as many as are worth naming when any of them could have been turned.
const fewFeet = 3

func (b Bench) misfit(c turn.Card, out *Shown) {
	out.Head = say("{} does not fit: {} was expected, within {}.", b.reading(c, c.Fed), b.reading(c, c.Until), b.reading(c, c.Within))
	var could []string
	for _, m := range c.Means {
		if m == turn.WrongFoot {
			could = append(could, pick(len(c.Others) > fewFeet, "another foot than "+c.Foot, strings.Join(c.Others, " or "))+" was turned instead")
			continue
		}
		could = append(could, meanings[m])
	}
	out.say("It could mean that {}.", strings.Join(could, "; or that "))
	out.say("yes: it reads so; no: read again; knocked; or the name of the foot that was turned.")
	out.Prompt = "yes, no, knocked or a foot"
}

var endings = map[turn.Ending]string{
	turn.Stopped:   "Stopped. The log has all that was done; begin again with the same command.",
	turn.Survey:    "The survey is in the log.",
	turn.Within:    "Done: within tolerance.",
	turn.NothingTo: "Done: no foot is left that helps; “footwork match” tells what of the rest is metal.",
	turn.Unsafe:    "Done: every turn that would still gain may leave a foot light, or load one beyond its rating.",
}

func (b Bench) over(c turn.Card, out *Shown) {
	out.Prompt = ""
	out.Head = Text{pick(c.Ending == turn.Refused, stops[c.What], cmp.Or(endings[c.Ending], "Done: no turn is expected to gain what can be seen."))}
	if len(c.Surveys) > 0 {
		out.say("To be sure survey {}, and look again after some days.", list(c.Surveys))
	}
}

// Responses puts into a table what raises of feet do to readings.
func (b Bench) Responses(list []turn.Response) Document {
	by := pick(b.Units == unit.Inches, 4*unit.Thou, 100e-6) // m
	t := newTable(say("A raise of {leaf} would change the reading by (95 %)", by), "foot", "read at", "as the turns have shown", "as surveyed")
	for _, r := range list {
		shown := func(rate, sd float64) Text {
			return say("{} ± {}", b.reading(r.Card, rate*by), b.reading(r.Card, 2*sd*by))
		}
		t.add(r.Foot, sighted(r.Card), shown(r.Now, r.SD), shown(r.Then, r.Was))
	}
	if len(list) == 0 {
		return Document{Sections: []section{{Answer: say("No foot was turned by a reading yet.")}}}
	}
	return Document{Sections: []section{{Blocks: []Block{t}}}}
}

// TurnCautions are said before anything is asked; common practice, no source.
var TurnCautions = []string{
	"Small turns, in the order given, never beyond the card; a foot that goes light may let the bed tip. Castings are lifted and blocked by people trained for it, with rated gear. These are estimates: a competent person checks foot, floor and lifting loads under the local rules.",
}

// TurnHelp is what can be typed at the bed.
var TurnHelp = []string{
	"a reading: -2.1  2,4  1 1/2  2′11.9″   in the survey's own unit",
	"free, nips, solid (and a foot): how its screw turns, or what a thin foil says",
	"skip: leave this foot, or do not wait     done: turned by the angle",
	"turn back: the screw, to where it read before",
	"strike out: the last reading does not count; nothing is moved",
	"responses: what a raise of each foot does to the reading, as it was learnt",
	"knocked: the instrument has a new zero    lock (and a foot): its nut is tight",
	"note …, survey NAME FILE, two (people), stop",
}
