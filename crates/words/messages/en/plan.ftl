hours-of = { $hours } h{ $what }
less-by = -{ $text }
more-by = +{ $text }
steps-instead-of = { $added } instead of { $gone }
steps-besides = { $added } besides
steps-without = without { $gone }
without-machine = without the { $name }
own-machines-only = own machines only
the-same-steps-in-another-order = the same steps in another order
of-crew = {" "}of crew
of-dust = {" "}of dust
the-same-cost-time-and-dust = the same cost, time and dust
cracks-or-joints = Cracks or joints ({ $task })
cannot-be-treated-ruled-out = { $what } cannot be treated; ruled out: { $out }.
cannot-be-treated-no-method = { $what } cannot be treated: no method in the catalogue does it.
method-and-why-not = { LOWER($name) } ({ $reason })
shallow-spalls = Shallow spalls
low-spots = Low spots
mitigation-is-not-in-this-price = { $reason } Mitigation is not in this price.
an-engineer-or-licensed-specialist = An engineer or licensed specialist looks first: { $because }
do-not-bid = Do not bid: { $because }
whether-old-filler-sits-in-is-not = Whether old filler sits in { $joints } is not known: taking it out is priced.
replacing-that-part-of-the-slab = { $marks }: replacing that part of the slab is not priced here.
depth-of-the-loose-layer-not-known = { $mark }: depth of the loose layer not known, priced at the rule's least depth.
doubtful-priced-as-sound-its-repair = { $mark }: doubtful, priced as sound: its repair comes on top if it is hollow.
no-pull-off-result-at-least-mm = No pull-off result: at least { $millimetres } mm is taken off all of the area.
pull-off-failed-in-the-slab = Pull-off failed in the slab: at least { $millimetres } mm is taken off all of the area, then tested again.
depth-of-what-is-still-weak-not = { $mark }: depth of what is still weak not known, taken as { $millimetres } mm.
oil-of-unknown-depth-taken-as-soaked = { $mark }: oil of unknown depth, taken as soaked in.
film-of-unknown-thickness-taken = { $mark }: film of unknown thickness, taken as thick.
film-of-unknown-thickness-taken-2 = { $mark }: film of unknown thickness, taken as thin.
no-chip-rating-taken-as-the-likeliest = No chip rating: taken as { $level }, the likeliest by scan.
the-surface-is-more-acid-than = The surface is more acid than the sheet allows: rinsed and neutralised first.
no-chip-rating-of-the-bare-slab = No chip rating of the bare slab: taken as smooth, CSP 1.
an-old-layer-let-go-below = An old layer let go below the limit: taken as a thick film that comes off.
a-film-was-measured-and-not-drawn-2 = A film was measured and not drawn: taken as a thick film over all of the area.
water-beads-and-no-acid-drop-was = Water beads and no acid drop was tried: taken as sealed with a thin film.
too-few-water-drops-priced-as-bare = Too few water drops: priced as bare where no film is marked; a film that drops show comes on top.
no-pull-off-result-priced-as-strong = No pull-off result: priced as strong enough for a thin finish; more comes off if it fails.
not-all-of-the-area-was-sounded = Not all of the area was sounded: the rest is priced as sound, and hollow places in it come on top.
chip-ratings-at-three-places-by-two-2 = chip ratings at three places by two people: { $target } at the end of the work; bare, no missed spots, hammer over all patches{ $bruised }
the-bruised-skin-is-still = ; the bruised skin is still on: the next step takes it away, then pull-off again
emission-dish-none-above = { $count } emission { $count ->
    [one] dish
   *[other] dishes
    }, none above { $most }.
humidity-probe-none-above = { $count } humidity { $count ->
    [one] probe
   *[other] probes
    }, none above { $most }.
no-oil-has-come-back-24-h = No oil has come back 24 h after cleaning: { $marks }.
surface-ph-read-times-after-the-last = Surface pH read { $count } times after the last rinse, before the water drains.
pull-off-test-on-the-prepared-slab = { $count } pull-off { $count ->
    [one] test
   *[other] tests
    } on the prepared slab: { $least }.
a-dark-cloth-stays-clean-at-places = A dark cloth stays clean at { $count } places.
water-drop-soak-in-within-s = { $count } water { $count ->
    [one] drop
   *[other] drops
    } soak in within { $within }.
by-chip-ratings-of-two-people-one = { $range } by { $count } chip ratings of two people, one after the other.
air-humidity-and-surface-read = Air, humidity and surface read on the day: far enough above dew point.
why-no-way = { $all }.
ruled-out = { $what }; ruled out: { $helpful }
no-allowed-method-does-it-within-its = { $what }: no allowed method does it within its passes, with a tool for the edges
cannot-be-reached = { $target } cannot be reached
loose-places-cannot-be-repaired = Loose places cannot be repaired
the-film-cannot-be-taken-off = The film cannot be taken off
the-oil-cannot-be-lifted = The oil cannot be lifted
dirt-salts-or-rust-cannot-be-taken = Dirt, salts or rust cannot be taken off
the-weak-layer-cannot-be-taken-off = The weak layer cannot be taken off
the-dense-surface-cannot-be-opened = The dense surface cannot be opened
the-surface-cannot-be-opened = The surface cannot be opened by a tool, as the system asks
the-surface-cannot-be-left-clean = The surface cannot be left clean and dry
no-allowed-sequence-of-methods-ends = No allowed sequence of methods ends bare, sound and clean with the profile asked for.
agreed-is = { $exposure }, agreed is: { $agreed }
passes-doors-from-mm-the-narrowest = { $name } passes doors from { $millimetres } mm, the narrowest is { $millimetres_2 } mm
works-on-slopes-up-to-here = { $name } works on slopes up to { $percent } %, here it is { $percent_2 } %
weighs-kg-the-floor-carries-kg = { $name } weighs { $kilograms } kg, the floor carries { $kilograms_2 } kg
needs-the-site-has = { $name } needs { $power }, the site has { $power_2 }
engine-indoors = { $name }: engine indoors
the-finish-did-not-take-on-which = the finish did not take on { $mark }, which was prepared so
the-site-allows-here = the site allows { $dust } ({ $dust_2 } here)
open-dust-indoors = open dust indoors
the-site-allows-no-water = the site allows no water
the-site-allows-no-loud-work = the site allows no loud work
the-site-allows-no-vibration = the site allows no vibration
cuts-into-the-slab-and-no-signed = cuts into the slab and no signed locate covers this area
the-film-holds-to-the-slab-under = the film holds to the slab under the knife
solvent-has-no-effect-on-the-film = solvent has no effect on the film
the-system-sheet-forbids-an-acid-etch = the system's sheet forbids an acid etch
the-system-sheet-does-not-allow = the system's sheet does not allow an acid etch
uses-up-the-lime-that-a-reactive = uses up the lime that a reactive finish needs
by-objective = { $objective }
step-inside = { LOW($name) }
trades = { $all }
term = { $text }{ $mark }{ $drawing }
term-of = { " " }({ $mark })
term-drawing = {" "}(drawing { $drawing })
item-near = { $mark }: { $item }, cover { $cover }
item-near-cover-not-known = { $mark }: { $item }, cover not known
hold-near = how the cut stays clear of { $items }
release-signed = Signed, as the release asks: { $condition }
water-drops-where-remover-was = { $count } water drops where the remover was used ({ $marks }) soak in within { $within }.
repairs-tapped-again-once-cured = { $marks } tapped again once cured: like the slab about it.
pull-off-test-on-repairs = { $count } pull-off { $count ->
    [one] test
   *[other] tests
    } on repairs ({ $marks }): { $least } or more.
low-spots-under-a-straightedge = { $marks } under a straightedge: no deeper than { $most }.
coat-below-the-system = a coat below the system
item-reached = { $mark }: { $item }, cover { $cover }, and the cut goes { $cut } deep
term-signed = { $term }: by { $by }
lime-answers-at-places = Lime answers a drop of stain or acid at { $count } places, some of them where something was taken off.
slowest-drop-against-the-quickest = The slowest water drop takes at most { $most } times as long as the quickest.
the-film-that-stays-holds = { $marks } holds under the knife once cleaned.
spoils-the-texture-that-stays = spoils the texture that stays ({ $texture })
weak-or-closed-is-left-the-texture-stays = { $marks }: weak or closed, left as it is, for the texture stays.
profile-of-the-guide-from-memory = The sheet names no profile. A guide has { $range }, from memory: it drives neither method nor price. Read the sheet before anything is roughened; what it asks may cost more.
weather-of-the-coat = Outdoors: dry { $before } before and { $after } after, { $least } in a row to work in, the slab out of the sun and cooling, { $margin } above dew point to the end; the sheet decides. Else it hazes, blushes or bubbles.
opens-only-for-what-soaks-in = opens a skin for what soaks in, not for a coating
gentle-first-on-a-decorative-slab = Stamped or exposed concrete: strippers, pads, stones and screens come first; nothing grinds or blasts it until a sheet asks for that.
no-sheet-asks-for-it-on-a-decorative-slab = no sheet asks for it, and it spoils a decorative slab
wall-to-wall = { $name } stripped wall to wall
no-edge-shows = no edge shows; { $trades }; { $price } more on the price
chip-ratings-and-what-the-sheet-asks = chip ratings at three places by two people, against the profile that the sheet asks: read it first; bare, no missed spots, hammer over all patches{ $bruised }
the-profile-of-the-sheet-by-chip-ratings = The profile that the sheet asks (none in hand names it yet) by { $count } chip ratings of two people, one after the other.
