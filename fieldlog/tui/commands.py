"""Every key of every screen, once: bindings, the footer and the help page are all made from this list."""

from fieldlog.tui.command import Command

_BACK = Command("escape", "esc", "back", "back", "Go back. What was accepted is on disk already.")
_HELP = Command("question_mark", "?", "app.help", "help", "Show this page: every key of the screen you came from.")
_BUDGET = Command(
    "b", "b", "budget", "doubt", "What the number's doubt is made of, part by part, and the readings behind it."
)
_STAY = Command("escape", "esc", "back", "stay", "Nothing: this is the first page, and only q leaves.", False)
_OPEN = Command("", "enter", "", "open", "Open the chosen line.")
_MEASURE = Command(
    "m", "m", "measure", "measure", "Walk the machine with the caliper, or go on where the round stands."
)
_EVIDENCE = Command(
    "e", "e", "evidence", "evidence", "Other evidence: pins and shanks tried, play, feelers, what is known."
)
_SEASON = Command(
    "y", "y", "season", "season", "The year so far: wear, grease kept or not, work done, work put off and why."
)
_PROBLEMS = Command(
    "exclamation_mark", "!", "app.problems", "problems", "What is wrong in the files, line by line.", False
)

FLEET = (
    _OPEN,
    _MEASURE,
    Command("n", "n", "new_machine", "new machine", "Add a machine, then its first joint and hole."),
    Command("c", "c", "correct", "correct", "Correct the chosen machine: name, kind, hitch, hours planned, greasing."),
    _BUDGET,
    Command("r", "r", "rates", "rates", "How fast like joints wear on like machines, side by side."),
    _SEASON,
    Command("s", "s", "setup", "people, tools", "People, calipers, tapes, units and the limits of the whole fleet."),
    _PROBLEMS._replace(in_footer=True),
    _HELP,
    _STAY,
    Command("q", "q", "app.leave", "leave", "Leave the program. Everything is saved already."),
)
FIRST_RUN = (
    Command("", "enter", "", "choose", "Do what the chosen line says."),
    _HELP,
    _STAY,
    Command("q", "q", "app.leave", "leave", "Leave the program."),
)
MACHINE = (
    _OPEN,
    _MEASURE,
    Command("a", "a", "add", "add", "Add a joint, a hole, a link or a limit."),
    Command("c", "c", "correct", "correct", "Correct the chosen line; the machine itself is the last of them."),
    Command("h", "h", "hitch", "hitch", "The hitch from the side: try holes, link, height; what is measured on it."),
    _BUDGET,
    Command("d", "d", "deed", "work done", "Write down work done: greased, re-bushed, new pin; or put off, and why."),
    Command("w", "w", "note", "wear seen", "Write down what you see: rounded out, crack, bush turns in its bore."),
    _SEASON,
    Command("o", "o", "offers", "offers", "Cylinders on offer in the place of the chosen link, else of the top link."),
    _EVIDENCE,
    _PROBLEMS,
    _HELP,
    _BACK,
)
HOLE = (
    Command("", "enter", "", "readings", "Show the readings behind the chosen day."),
    _BUDGET,
    Command("p", "p", "picture", "picture", "Its wear over the seasons as a picture, with limits and forecast."),
    Command("c", "c", "correct", "correct", "Correct what is written about this hole."),
    _EVIDENCE,
    Command("w", "w", "note", "wear seen", "Write down what you see on this hole."),
    Command(
        "f", "f", "repair", "repair", "What can be done about this hole: renew, ream, bush, weld; metal left, parts."
    ),
    _HELP,
    _BACK,
)
LINK = (
    Command("", "enter", "", "open", "Open the chosen hole, or the readings of the chosen day."),
    _BUDGET,
    Command("r", "r", "readings", "readings", "Every reading of this link; strike or keep them."),
    Command("m", "m", "measure", "measure", "Walk the machine with the tape, starting at this link."),
    Command("o", "o", "offers", "offers", "Cylinders on offer in the place of this link, ranked, with what decides."),
    Command("t", "t", "thread", "thread", "Write down its thread: size, hand and length at each end, and its stop."),
    Command("c", "c", "correct", "correct", "Correct what is written about this link."),
    Command("h", "h", "hitch", "hitch", "The hitch from the side: try this link, holes and heights on it."),
    Command("d", "d", "deed", "work done", "Write down work done on this link."),
    Command("w", "w", "note", "wear seen", "Write down what you see on this link."),
    _HELP,
    _BACK,
)
REPAIR = (
    _BUDGET,
    Command(
        "c", "c", "correct", "eye sizes", "Write down the eye: width, thickness, centre to end, what it is made of."
    ),
    _HELP,
    _BACK,
)
FINDING = (
    Command("", "enter", "", "open hole", "Open the chosen hole."),
    _BUDGET,
    Command(
        "p", "p", "picture", "picture", "Wear over the seasons as a picture, with limits and when they are reached."
    ),
    Command("d", "d", "deed", "work done", "Write down work done on this joint, or put off, and why."),
    Command("l", "l", "levers", "levers", "How its slack reaches the tool's edge; how often it is to be greased."),
    Command("r", "r", "readings", "entries", "Every entry about this joint and its holes; strike or keep them."),
    _EVIDENCE,
    _HELP,
    _BACK,
)
READINGS = (
    Command(
        "",
        "enter",
        "",
        "strike or keep",
        "Strike the chosen entry out, or take its strike back. One that stands apart can be kept with a reason too.",
    ),
    _BUDGET,
    _HELP,
    _BACK,
)
BUDGET = (
    Command("left", "left/right", "turn(-1)", "other number", "Show another number of the page you came from."),
    Command("right", "right", "turn(1)", "other number", "The next number.", False),
    Command(
        "",
        "enter",
        "",
        "open, strike, keep",
        "Open a number that this one follows from; strike the chosen reading out, or keep one that stands apart.",
    ),
    _HELP,
    _BACK,
)
ROUND = (
    Command("", "enter", "", "keep", "Keep the number typed. On an empty line: go on to the next thing to measure."),
    Command("up", "up/down", "pick(-1)", "line", "Choose another line across the hole, another face, or another way."),
    Command("down", "down", "pick(1)", "line", "The next line, face or way.", False),
    Command("tab", "tab", "next_stop", "next", "Next hole, pin or link; shift and tab: the one before."),
    Command("shift+tab", "shift+tab", "previous_stop", "before", "The hole, pin or link before.", False),
    Command("", "o", "overview", "walk", "On the empty line: the whole walk and what is done; jump anywhere on it."),
    Command("", "w", "note", "wear seen", "On the empty line: write down wear: rounded out, crack, dry, lip."),
    Command("", "h", "next_hole", "hole", "At a link, on the empty line: tape it from another hole of its row.", False),
    Command(
        "", "s", "pick_thread", "screw", "At a link, on the empty line: thread that stands out, then turns.", False
    ),
    Command(
        "", "e", "evidence", "evidence", "On the empty line: other evidence, such as 19.05 goes, play 0.6, feeler 0.3."
    ),
    Command("", "b", "budget", "doubt", "On the empty line: what the numbers' doubt is made of, and the readings."),
    Command("", "t", "bush_tight", "bush tight", "At a bushed hole, on the empty line: its bush sits tight.", False),
    Command("", "m", "bush_moves", "bush moves", "At a bushed hole, on the empty line: its bush moves. Stop.", False),
    Command("", "u", "undo", "undo", "On the empty line: strike the last reading here; it stays on file, struck."),
    Command("f1", "?", "app.help", "help", "Show this page."),
    _BACK,
)
EVIDENCE = (
    Command(
        "", "enter", "", "keep", "Keep what was typed, such as 3/4 goes. On the empty line: choose it from a form."
    ),
    Command("up", "up/down", "scroll(-1)", "scroll", "Walk up and down the page."),
    Command("down", "down", "scroll(1)", "scroll", "Walk down the page.", False),
    Command("tab", "tab", "next_hole", "hole", "Another hole of the joint, that pins and shanks are tried in."),
    Command("", "b", "budget", "odds", "On the empty line: what each pin's share and each step's worth follow from."),
    Command("", "u", "undo", "undo", "On the empty line: strike the last of this evidence; it stays on file, struck."),
    Command("f1", "?", "app.help", "help", "Show this page."),
    _BACK,
)
EVIDENCE_LETTERS = "".join(command.shown for command in EVIDENCE if len(command.shown) == 1)
ROUND_LETTERS = "".join(command.shown for command in ROUND if len(command.shown) == 1)
HITCH = (
    Command("up", "up/down", "pick(-1)", "choose", "Choose what to change: height, link, a hole, one lift rod."),
    Command("down", "down", "pick(1)", "choose", "The next thing to change.", False),
    Command("left", "left/right", "turn(-1)", "change", "Change it: 25 mm of lift, 5 mm of link, the next hole."),
    Command("right", "right", "turn(1)", "change", "Change it a step the other way.", False),
    Command("enter,ctrl+j", "enter", "type", "type", "Type a length instead of stepping to it."),
    Command("r", "r", "reset", "reset", "Back to what is written down. Nothing that was tried is stored."),
    Command("i", "i", "implement", "implement", "Hang the fleet's next implement on this hitch."),
    Command("t", "t", "table", "numbers", "Pitch by height, four corners, forces, PTO shaft, what is needed."),
    _BUDGET,
    Command("k", "k", "keep", "keep", "Write down the holes tried as the ones in use."),
    Command("c", "c", "correct", "measured", "What is measured on the hitch and the implements; add and correct it."),
    _HELP,
    _BACK,
)
HITCH_NUMBERS = (_BUDGET, _HELP, _BACK)
HITCH_PARTS = (
    Command("", "enter", "", "correct", "Correct the chosen line."),
    Command("a", "a", "add", "add", "Add a hole of a row, an implement, a mast hole, or a corner of an implement."),
    _HELP,
    _BACK,
)
WEAR = (
    _BUDGET,
    Command("right", "left/right", "turn(1)", "other hole", "The pin, the bore or another hole of this joint."),
    Command("left", "left", "turn(-1)", "other hole", "The one before.", False),
    _HELP,
    _BACK,
)
SEASON = (
    _OPEN,
    _BUDGET,
    Command("left", "left/right", "turn(1)", "other season", "The season before this one."),
    Command("right", "right", "turn(-1)", "other season", "The season after it.", False),
    Command("c", "c", "correct", "its start", "On which day of the year your season begins."),
    _HELP,
    _BACK,
)
PROBLEMS = (
    Command("r", "r", "reread", "read again", "Read the files again after mending them in an editor."),
    _HELP,
    _BACK,
)
LISTS = (_OPEN, _HELP, _BACK)
RATES = (_OPEN, _BUDGET, _HELP, _BACK)
_OFFER_KEYS = (
    _BUDGET,
    Command("k", "k", "keep", "keep", "Keep the chosen offer as the recommendation, with its reasons, in a file."),
    Command("c", "c", "correct", "correct", "Correct what the seller states."),
    Command("h", "h", "in_hand", "in hand", "Write down what you measure on it yourself; it outranks what is stated."),
    Command("x", "x", "set_aside", "set aside", "Take an offer out of the running, or back in; its file stays."),
)
OFFERS = (
    _OPEN,
    *_OFFER_KEYS[:2],
    Command("a", "a", "add", "add", "Type in another offer."),
    *_OFFER_KEYS[2:],
    Command("g", "g", "gaps", "gaps", "Write down how wide the gaps at both ends are, which the eyes must enter."),
    Command("right", "left/right", "other_link(1)", "other link", "The same offers against another link."),
    Command("left", "left", "other_link(-1)", "other link", "The link before.", False),
    _PROBLEMS,
    _HELP,
    _BACK,
)
OFFER = (
    *_OFFER_KEYS,
    Command(
        "f", "f", "force", "force, oil", "What it pulls and holds on this tractor: pressure, speed, oil, buckling."
    ),
    _HELP,
    _BACK,
)
CYLINDER = (
    _BUDGET,
    Command("p", "p", "hydraulics", "tractor's oil", "Write down the tractor's relief pressure, flow, remotes, hose."),
    _HELP,
    _BACK,
)
KEPT = (
    _BUDGET,
    Command("o", "o", "offers", "compare again", "Compare the offers as they are now; a new one is kept beside this."),
    _HELP,
    _BACK,
)
SETUP = (
    Command("", "enter", "", "open", "Correct the chosen line; open an instrument, with its checks."),
    Command("a", "a", "add", "add", "Add a person, an instrument or a limit for the whole fleet."),
    Command("g", "g", "study", "gauge study", "People measure the same holes again and again: what can be told apart."),
    _HELP,
    _BACK,
)
INSTRUMENT = (
    _BUDGET,
    Command("k", "k", "check", "do a check", "Write a check down: closed jaws, a known bore, a known pin or gauge."),
    Command("c", "c", "correct", "correct", "Correct its step, its limits, the width of its inside jaws."),
    Command("", "enter", "", "strike or keep", "Strike the chosen check out, or take its strike back."),
    _HELP,
    _BACK,
)
STUDY = (
    Command("", "enter", "", "keep", "Keep the trial typed; the next one is asked for at once."),
    Command(
        "b", "b", "budget", "doubt", "Once it is finished: what its numbers rest on, and how sure they are.", False
    ),
    Command("", "u", "again", "type again", "On the empty line: type the last trial again; both stay on file."),
    Command("f1", "?", "app.help", "help", "Show this page."),
    _BACK,
)
STUDY_LETTERS = "".join(command.shown for command in STUDY if len(command.shown) == 1)
STUDY_DONE = (_BUDGET, _HELP, _BACK)
FORM = (
    Command("", "enter", "", "next, last keeps", "Go to the next line; on the last line, keep the form."),
    Command("", "left/right", "", "choose", "Choose among the offered words."),
    Command("ctrl+s", "ctrl+s", "keep", "keep", "Keep the form as it stands."),
    Command("escape", "esc", "back", "drop", "Close the form without keeping it."),
)
