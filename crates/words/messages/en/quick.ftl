SurfaceNow =
    .bare_broomed = bare, broomed
    .bare_trowelled = bare, hard-trowelled
    .sealed = sealed
    .painted_or_coated = painted or coated
    .glue_or_tile_residue = glue or tile residue
    .exposed_aggregate_sealed = exposed aggregate, sealed
    .stamped_sealed = stamped, sealed
    .unknown = not known

FinishWanted =
    .clear_sealer = clear sealer
    .stain_and_sealer = stain and sealer
    .dye_and_sealer = dye and sealer
    .recoat_same_sealer = another coat of the same sealer
    .thin_coating = thin coating
    .high_build_coating = high-build coating
    .self_levelling = self-levelling layer
    .microtopping = microtopping or thin overlay

CracksSeen =
    .none = none
    .few = few
    .some = some
    .many = many

FilmBuild =
    .one_or_two_coats = one or two coats
    .many_coats = many coats

OpenQuestion =
    .surface = what the surface is
    .build = how much film there is
    .drinks = whether it drinks
    .holds = whether the old sealer holds
    .exposure = how far sand may show
    .cracks = cracks
    .hollow = hollow places
    .oil = oil
    .dust = dust
    .water = water
    .thirst = how much it takes

quick-said = As told at the first look, drawn all over or spread evenly: draw it where it is.
quick-taken = Taken for granted, nobody has said so: draw what is there, or take this out.

quick-recoat-wants-a-sealer = a sealed surface (sealed, exposed_aggregate_sealed, stamped_sealed or unknown): what is bare, painted or glued has no sealer to be coated over

quick-if-it-is = it is { $now }
quick-if-many-coats = many coats lie there, not one or two
quick-if-thin-coats = the paint is thin: one or two coats
quick-if-it-drinks = bare water soaks in: clean, do not open
quick-if-it-does-not-hold = the old sealer does not hold: off with it
quick-if-some-cracks = a crack to repair in most panels
quick-if-many-cracks = several cracks in every panel
quick-if-hollow = some of it sounds hollow
quick-if-oil = oil has soaked in, in spots
quick-if-no-dust = no dust is allowed
quick-if-no-water = no water is allowed
quick-if-thirsty = it takes 40 % more of the finish

quick-settle-surface = water drop, solvent rag, knife
quick-settle-build = knife to the concrete, film gauge
quick-settle-drinks = water drops at three places, timed
quick-settle-holds = rag with its solvent, cross-cut and tape
quick-settle-cracks = walk it, coin and gauge
quick-settle-hollow = chain or hammer
quick-settle-oil = look, water drop, knife at the spot
quick-settle-dust = ask
quick-settle-water = ask; where does it drain?
quick-settle-thirst = sample panel, measured

quick-walk-on = { $time } after the last coat, as said{ $wait }
quick-walk-on-by-its-sheet = prepared by the end of day { $days }; then by the finish's own sheet{ $wait }
quick-longest-wait = ; longest wait between steps { $time }

quick-not-the-finish = THE FINISH ITSELF: its material and laying it
quick-not-damp = whatever damp asks for: measured first
quick-not-joints = joints: they stay as they are

quick-taken-rates = rates and least charge are assumed, not your firm's
quick-taken-surface = the surface is { $now }, the middle of what it may be
quick-taken-shape = { $length } by { $width }
quick-taken-walls-indoors = walls on all four sides
quick-taken-wall-outdoors = a wall on one short side
quick-taken-absent = none of: { $what }
quick-cracks = cracks to repair
quick-hollow-places = hollow places
quick-oil = oil
quick-taken-holds = the old sealer holds and is of the same kind
quick-taken-exposure = fine sand may show: agree it with the owner; else there is no way to prepare it here
quick-taken-no-sheet = no data sheet in hand, ask for it: no limit of it is set

quick-if-sand-may-show = the owner agrees that fine sand may show
quick-settle-exposure = ask, on a sample panel
quick-taken-setting = { $setting }, as such a surface usually is

quick-name-not-said = not said yet
quick-name-of-job = Slab: { $wanted }
quick-name-of-area = Slab ({ $now })
quick-no-sheet = no data sheet in hand: ask for it; nothing here is published

quick-it-holds-said = as told at the first look
quick-decided-by-nobody = nobody yet
quick-it-holds-taken = taken for granted at the first look: rag and tape have not said so yet

quick-heading = { $area }, { $setting }: { $now } → { $wanted }
quick-price = Price
quick-range = { $low }  –  { $likely }  –  { $high }
quick-range-is = low, likely, high
quick-least-rules = Your least charge of { $least } rules.
quick-no-price = none: { $why }
quick-days = Days
quick-days-there = { $likely ->
    [one] 1 day
   *[other] { $likely } days
    } on site with { $crew } (up to { $most }), { $hours } in all
quick-walk = Walk on it
quick-in-it = In it
quick-not-in-it = Not in it
quick-and-more-of-it = and { $count } more
quick-changes = Could change it
quick-change = { $what } ({ $chance }): { $settled }
quick-no-way = no way:
quick-changes-less = Less, or nothing: { $what }.
quick-look = Look now
quick-look-at = { $what }: { $test }
quick-look-more = { $count } more questions: tooth new, then tooth assess.
quick-taken-for = Taken as
quick-verdict = So far
quick-verdict-is = { $recommendation }. Chances are assumed; one look at the slab is worth more.

quick-a-size = a rectangle that is a slab
quick-no-slab = a size that makes none

quick-a-container = a container of 0.01 L or more
quick-an-amount-like = an amount like 45{ $code }{ $per }
quick-what-a-coat-covers = what a coat covers, like 250ft2/gal or 6m2/L
quick-size-like = length by width, or an area, with its unit: 20ftx30ft, 600ft2
quick-currency-like = three capital letters, like USD
quick-currency-of-the-firm = { $code }, as --firm has it

begun-heading = { $folder } is begun
begun-next = Next: tooth check, then tooth assess, which says what to look at first. The price is that of the likely case.
begun-nothing-there = a folder that is not there yet: nothing is written over

field-one-of = { $what }: { $keys }

field-job-head =
    The job: what and where, the slab, what the site allows, what the firm charges.
    A quantity is written with its unit: "6 in", "150 mm", "62 USD/h". "unknown" is an honest answer: it names a test.
    Begun from a first look; lines that begin with # are not set. tooth check says what is wrong, tooth assess what is missing.
field-schema = version of this folder's form
field-name = the job's name
field-contractor = the firm that prepares the slab
field-units = what people read first: us or si
field-language = of the papers
field-crew-language = of the step cards, where it is another
field-currency = three capital letters; every amount is in it
field-patch-rule = how patches are squared up
field-machines-owned = machines at hand: these need no hire
field-client-name = whom it is for
field-site = where the slab is
field-setting = indoors or open to the sky
field-thickness = of the slab, where known
field-year-cast = of the slab
field-support = what carries it
field-post-tensioned = stressed tendons in it
field-vapour-retarder = under a slab on the ground
field-freeze-thaw = whether it freezes wet
field-past-damage = fire, overload, impact
field-embedded-items = heating tubes, conduit
field-building = as asbestos rules ask
field-oldest-coating-year = oldest film on it, at the earliest
field-dust = what the site bears
field-water = whether water may be used
field-engines-indoors = whether engines may run indoors
field-loud-work = whether loud work is allowed
field-power = supply at the slab
field-door-width = narrowest way in
field-slope = steepest, where it is not level
field-labour = one worker for an hour, burdened
field-disposal = solid waste, taken away
field-liquid-disposal = liquid waste and slurry, taken away
field-trip = crew and van to the site and back
field-working-day = hours of a day
field-crew = people who come together
field-overhead = on top of direct cost
field-margin = of the price
field-least-for-a-job = no job for less
field-least-for-a-trip = no trip for less
field-growth-median = hidden damage: found / marked, the middle
field-growth-sigma = and how far it spreads (of its logarithm)
field-growth-correlation = how far areas go together in it, 0 to 1
field-pace-correlation = how far all paces go together, 0 to 1
field-material-price-sigma = how far material prices spread
field-memory-sigma = how far you may be from rates of memory
field-rework-chance = chance that part of a profile is made again
field-rework-share = and how much of it
field-site-item = what the site or the finish asks for
field-site-item-zone = in which area; else the whole job
field-pieces = how many
field-piece-price = of one
field-item-area = how much
field-area-price = of one unit of it
field-item-length = how much
field-length-price = of one unit of it
field-item-volume = how much
field-volume-price = of one unit of it
field-item-hours = crew-hours that it takes
field-film-decision-zone = in which area
field-film-way = what becomes of the old film
field-decided-by = who decided
field-decided-on = when
field-decided-reason = the same chemistry, and how that is known
field-job-more =
    More tables when they are needed: [[locate]] and [[consent]] (`signed_by` or `given_by`, `date`, `zones`), [[overrule]], a
    crack's [[treatment]], [[change_order]], [[prepared]], [[moisture_decision]], [[abatement]], [limits], [chances], and
    also [test_costs], [weights], [acceptance]. A name that Tooth does not know is refused with its line.

field-systems-head =
    What goes on the slab. Copy the limits from its data sheet: here is none in hand, so none is set and each one
    missing is asked for. Take the # away and put the sheet's own figure in.
field-system-id = the plan names it
field-system-name = as people call it
field-class = by thickness; a stain or dye is a class of its own
field-sheet = which data sheet, and its date
field-see-through = whether the concrete shows
field-system-thickness = when laid; usual, from memory: ask the sheet
field-from = from where it counts
field-needs-lime = whether it reacts with the concrete's lime
field-acid-etch = whether the sheet allows an acid etch
field-agreed-exposure = how far aggregate may show, agreed with the owner
field-profile = sheet's range; this one is the guide's, from memory
field-mechanical = whether it asks for a tool, whatever the profile
field-absorbs-within = a water drop soaks in within
field-pull-off = least strength of the prepared slab
field-humidity = most relative humidity in the slab
field-emission = most moisture emission
field-ph = of the surface, least and most
field-surface-temperature = least and most
field-dew-point-margin = surface above the dew point by
field-air-humidity = most relative humidity of the air
field-dry-before = no rain before it for
field-dry-after = and none after it for
field-least-window = good weather at a stretch
field-widest-crack = that it covers by itself
field-least-age = of the concrete

folder-head =
    # A job folder

    Plain files, begun from a first look. `job.toml` and `systems.toml` explain each field beside it; the drawing and the
    table of readings cannot hold comments, so they are explained here. Then: `tooth check .`, `tooth assess .`,
    `tooth run . --out out`.
folder-plan =
    ## plan.geojson

    The drawing, in the unit that `units` says (`m` or `ft`), not in degrees; x to the right, y up, `north_degrees`
    clockwise from up. Each thing has `properties` and a `geometry` (`Point`, `LineString`, or `Polygon` whose last corner
    repeats the first).

    - `id`: a name that nothing else has. `kind`: one of { $kinds }.
    - A `zone` is an area: `name`, `system` (its `id` in `systems.toml`), `open_border` true where no wall stands,
      `texture_stays` where it is kept (exposed_aggregate, stamped, broomed, cream).
    - A `film` has `film` (sealer, curing_compound, coating, adhesive, unknown) and, where known, `thickness` and
      `condition` ({ $conditions }).
    - A `surface` has `state` ({ $states }) and `depth`; a `stain` has `stain` ({ $stains }) and `depth`.
    - A `ghost`, something that shows through a clear finish, has `ghost` ({ $ghosts }) and `of`, in your words.
    - `small_damage`, counted, has `damage` ({ $damages }) and `count`.
    - A `crack` has `width`, `movement`, `leaking`, `displaced`; a `hollow` has `certainty` (sure, doubtful),
      `hollow_kind`, `depth`; a `joint` has `joint`, `working`, `old_filler`; a `wall` or `obstacle` has nothing more.
    - `note`: your own words. What was begun with says whether it was told or taken for granted.
folder-readings =
    ## readings.csv

    A row per field test, under the heading that is there.

    - `id`: a name that no other row has. `kind`: one of { $kinds }.
    - `zone`: the area's id. `x`, `y`: where, in the drawing's unit. `subject`: the mark that it is about.
    - `value` and `unit`: a number with its unit (`25`, `s`), or a word (`strong`, `weak`, `none` for acid). `detail`: how
      a pull-off broke.
    - `instrument`, `time` (`2026-05-04T09:30`), `by` and `note`: with what, when, who.
folder-more =
    ## More files, when you have them

    `methods.toml` your own machines, methods and paces; `forecast.csv`; `photos/`, `sounding/`, `texture/`.
