weak-layer-leads-to = to { $deepest_weak_layer }: taken off to sound concrete; deeper: a repair to be designed
scaling-leads-to = to { $medium_scaling }: taken off and tested; to { $severe_scaling }: resurfaced; deeper: compare with replacement
confirmed-it-counts-corrected = confirmed: it counts; corrected: the right figure counts; neither: the test counts as missing
the-version-that-is-settled-decides = the version that is settled decides
on-the-ground-and-not-stressed-go = on the ground and not stressed: go on; suspended or stressed: an engineer
located-and-marked-cutting-may-start = located and marked: cutting may start; not located: nothing is cut
none-found-it-may-be-removed = none found: it may be removed with the usual controls; found: licensed abatement
none-found-go-on-found-not = none found: go on; found: not a candidate, refer or replace
dormant-and-narrow-prepared = dormant and narrow: prepared with the rest; wide: routed and filled; moving: carried through; displaced: an engineer
works-carried-through-the-finish-does = works: carried through the finish; does not: filled semi-rigid
sound-go-on-loose-skin-cut-out = sound: go on; loose skin: cut out and patch; old layer: taken off; below the top third or without support: an engineer
no-bars-and-in-the-top-third = no bars and in the top third: patch; else an engineer
soaks-in-bare-beads-without-fizz = soaks in: bare; beads without fizz: a film that comes off; beads with fizz: dense, to be opened
softens-or-peels-strip-or-scrape-cross = softens or peels: strip or scrape; cross-linked or brittle: grind or blast
at-the-surface-scrubbed-deep-drawn-out = at the surface: scrubbed; deep: drawn out, or cut out where it comes back
reaches-the-limit-go-on-fails = reaches the limit: go on; fails in the slab: take more off and test again; fails elsewhere: that layer comes off
reaches-the-limit-the-system-may = reaches the limit: the system may follow; fails: take more off, test again
below-the-limit-go-on-above-wait = below the limit: go on; above: wait, mitigate, a breathable system, or refuse
within-the-limits-go-on-outside-rinse = within the limits: go on; outside: rinse and read again
within-the-range-it-stays-smoother = within the range: it stays; smoother: roughened; rougher: ground, filled, or a thicker system
the-sheet-names-the-class-and-its = the sheet names the class and its profile; until then the named class's range stands in
within-the-limits-the-day-work-starts = within the limits: the day's work starts; outside: it waits
agreed-and-signed-tests-and-steps = agreed and signed: tests and steps that mark may be done; not agreed: hidden places only, or none
approved-full-work-at-the-panel-rate = approved: full work, at the panel's rate and profile; not approved: another way or system
low-filled-to-the-fall-high-enough = low: filled to the fall; high enough: left as it is
picks-the-bond-of-the-diamonds = picks the bond of the diamonds, and the rate
below-the-limit-go-on-above = below the limit: go on; above, with steel in reach: an engineer
settles-the-rule-that-asks = settles the rule that asks
nothing-found-stands-against-it-before = Nothing found stands against it; { $due } before the work starts.
not-known-yet = Not known yet: { $what }{ $others }.{ $known }
known-already = {" "}Known already: { $reason }
and-more = {" "}and { $count } more
and-more-of-this-gravity = { $first } And { $more } more of this gravity.
the-usual-preparation-takes-care = The usual preparation takes care of all that was found.
all-that-the-system-asks = All that the system asks for is met.
whether-the-film-of-or-later = whether the film of { $year } or later is free of { $free }: no year rules it out
whether-the-old-film-holds = whether the old film holds { $asked }
the-laboratory-found-in-the-old-film = The laboratory found { $found } in the old film: licensed abatement only; nobody grinds, sands, scrapes or blasts it.
fire-overload-or-impact-has-damaged = Fire, overload or impact has damaged the slab: what is left of it is an engineer's to judge.
whether-fire-overload-or-impact-has = whether fire, overload or impact has damaged the slab
ask-the-owner-and-look-for-what = ask the owner, and look for what such damage leaves
whether-the-slab-is-post-tensioned = whether the slab is post-tensioned
drawings-a-stamp-in-the-slab-round = drawings, a stamp in the slab, round pockets along its edge, or the locate
a-tendon-lies-in-the-slab = A tendon lies in the slab: it is post-tensioned, whatever the papers say. No cutting, milling or coring until an engineer approves.
the-slab-is-post-tensioned-no-cutting = The slab is post-tensioned: no cutting, milling or coring until tendons are located and an engineer approves.
the-slab-is-suspended-load-of-machines = The slab is suspended: load of machines, removal and a new layer are an engineer's to judge.
what-carries-the-slab = what carries the slab
drawings-or-a-look-from-below = drawings, or a look from below; suspended slabs go to an engineer
a-signed-locate-covers-this-area-keep = A signed locate covers this area; keep to its marks.
a-signed-locate-covers-this-area-yet = A signed locate covers this area, yet an item in it has no known place: every step that cuts is blocked.
no-signed-locate-covers-this-area = No signed locate covers this area: every step that cuts is blocked.
signed-locate-by-cover-meter-or-radar = signed locate by cover meter or radar, heating warm under a thermal camera; no drilling, coring, sawing, scarifying, milling or breaking before it, tests included
where-tubes-conduit-tendons-and-bars = where tubes, conduit, tendons and bars lie
samples-taken-wet-by-a-trained-person = samples taken wet by a trained person, of every kind of film, to an accredited laboratory; nobody touches the film until the answer is here
the-product-own-sheet-and-the-invoice = the product's own sheet and the invoice that shows its date, else a sample
the-laboratory-found-neither-of-what = The laboratory found neither of what old films are presumed to hold.
scaling-lost = { $mark }: { $class } scaling, { $depth } lost: { $follows }.
how-deep-has-scaled = how deep { $mark } has scaled
whether-goes-below-the-top-third = whether { $mark } goes below the top third of the slab
whether-reinforcement-shows = whether reinforcement shows at { $mark }
spall-deep = { $mark }: spall { $depth } deep: { $follows }.
deep-below-the-top-third = { $mark }: { $depth } deep, below the top third of the slab: a full-depth repair to be designed.
reinforcement-shows-loss-of-section = { $mark }: reinforcement shows. Loss of section and removal round bars are an engineer's to judge.
of-is-hollow-or-broken-out-patches = { $bad } of { $net } is hollow or broken out, patches squared up: compare with an overlay or replacement before repairing.
an-old-layer-has-let-go = { $mark }: an old layer has let go. It comes off to the slab below it, over all of its extent; the slab is then sounded and tested again.
curled-edge-or-lost-support-patching = { $mark }: curled edge or lost support. Patching does not cure it; support must be restored first.
loose-deep-below-the-top-third = { $mark }: loose { $depth } deep, below the top third of the slab: a full-depth repair to be designed.
depth-at-one-opened-spot = depth at one opened spot{ $locate_first }
how-deep-is-loose = how deep { $mark } is loose
what-the-hollow-sound = what the hollow sound at { $mark } is
which-taps-of-recording-are-hollow = which taps of recording { $name } are hollow
hollow-place-of-the-area-cut-out = { $count } hollow { $count ->
    [one] place
   *[other] places
    }, { $area } ({ $net } % of the area): cut out, patch, cure, sound again. No feather edge.
whether-is-hollow = whether { $mark } is hollow
whether-the-other-of-the-area-sounds = whether the other { $covered } % of the area sounds hollow
a-panel-stands-off-its-neighbour-find = A panel stands { $offset } off its neighbour: find the cause first; a new layer does not fix the ground.
a-lip-of-low-enough-to-grind = { $mark }: a lip of { $offset }, low enough to grind off; look whether it still grows.
petrography-found-the-concrete = Petrography found the concrete deteriorating from inside: no bonded system holds on it. Refer or replace.
pattern-cracking-but-petrography-found = Pattern cracking, but petrography found no deterioration from inside.
whether-the-concrete-deteriorates-from = whether the concrete deteriorates from inside
a-core-from-the-worst = a core from the worst of the pattern to a petrographer (ASTM C856)
pattern-cracking-with-moist-aggregate = Pattern cracking with moist aggregate or deposit in the cracks: suspected deterioration from inside, and no bonded system is bid on it. Refer or replace; only petrography could show otherwise.
pattern-cracking-dry-and-without = Pattern cracking, dry and without deposit: watch it, and show it to the owner.
sweep-with-a-chain-outline = sweep with a chain, outline with a hammer, chalk and trace; not on frozen concrete
hammer-again-beside-known-good = hammer again beside known-good concrete, or open one spot (after a signed locate)
the-whole-area-was-sounded-no-sure = The whole area was sounded; no sure hollow place.
mark-a-few-taps-known = mark a few taps known to be good in its list, or open one spot (after a signed locate)
open-one-spot-after-a-signed-locate = open one spot (after a signed locate), and note depth and kind
slab-thickness-from-drawings = slab thickness from drawings or a signed-off core
fill-it-with-a-polymer-mortar = fill it with a polymer mortar, in the depth and time of its own sheet
square-it-up-cut-out-and-patch = square it up, cut out and patch
brush-it-out-and-look = brush it out and look
depth-gauge-at-three-places = depth gauge at three places
what-is-lost-shows-through-the-finish = what is lost shows through the finish, filled or not: agree it with the owner, or another system
remove-the-weak-layer-fill-what = remove the weak layer, fill what is lost, test again
remove-the-weak-layer-test-again = remove the weak layer, test again
remove-to-sound-concrete-and-resurface = remove to sound concrete and resurface
remove-to-sound-concrete-the-overlay = remove to sound concrete; the overlay fills what is lost
remove-and-resurface-or-replace-show = remove and resurface, or replace: show both prices
joints-by-treatment = To { $treatment }: { $lengths }.
whether-joints-work = whether { $joints } still { $count ->
    [one] works
   *[other] work
    }
length-of-kind = { $length } { $kind }
whether-old-filler-sits = whether old filler sits in { $joints }
old-filler-comes-out-both-faces-bare = { $joints }: old filler comes out, both faces bare, before new goes in.
the-patch-of-lies-across-the-joint = The patch of { $marks } lies across { $joints }: the joint is formed again through it, on its own line; no patch bridges a joint.
joint-decided = { $mark }, { $kind }: { $decided }.{ $follows }
it-what-cannot-move-with-it-breaks = {" "}It { $known }: what cannot move with it breaks, and the owner signs for that first.
as-decided = { $treatment }, as { $by } decided: { $reason }
follows-crack = : { $follows }.
decided-crack = : { $decided }.{ $follows }
cracks-follow = { $what }{ $follows }
cracks-are = { $cracks }: { $class } { $count ->
    [one] crack
   *[other] cracks
    }, { $width }, { $movement }
from-to = { $low } to { $high }
each-of-them = { $test }, for each
whether-cracks-move = whether { $names } { $count ->
    [one] moves
   *[other] move
    }
whether-water-comes-through = whether water comes through { $names }
whether-one-side-of-stands-higher = whether one side of { $names } stands higher
straightedge-across = straightedge across it
a-look-after-rain-or-a-hose = a look after rain or a hose
crack-gauge-read-on-two-days-warm = crack gauge read on two days, warm and cold
one-side-stands-higher-find-the-cause = ; one side stands higher: find the cause first.
water-comes-through-stop-the-water = ; water comes through: stop the water before anything is laid.
show-it-on-the-sample-panel = {" "}Show it on the sample panel.
what-moves-or-what-the-finish-hides = {" "}What moves, or what the finish hides, is not left: it is treated as if nobody had decided.
too-wide-and-restless-for-a-joint = too wide and restless for a joint: remove and replace that part, or an engineer
treat-as-a-joint-and-carry = treat as a joint and carry it through the finish
rout-and-fill-before-preparation = rout and fill before preparation
narrow-enough-for-the-system-show = narrow enough for the system; show it on the sample panel
may-still-work = may still work
a-look-and-a-knife-into = a look and a knife into the joint; until then its removal is in the price
gauge-across-it-on-two-days-warm = gauge across it on two days, warm and cold; until then it is carried through
low-spot-of-in-all-about = { $count } low { $count ->
    [one] spot
   *[other] spots
    } of { $area } in all, about { $volume } to fill; drainage stays as it is.
how-high-of-the-area-lies = how high { $without } of the area lies that is to fall to the drain
to-fall-to-the-drain = To fall to the drain, { $area } of { $volume } are filled: see whether doors, thresholds and the thickness asked for allow it.
scan-there-too-places-drawn-by-chance = scan there too, places drawn by chance (x, y): { $places }
place-on-plan = { $x }, { $y }
why-hand-and-eye-say-and-scans = why hand and eye say { $rated } and scans { $levels }
in-scan-nine-chances-in-ten-each = { $levels } in { $count } { $count ->
    [one] scan
   *[other] scans
    } (nine chances in ten each); { $range } is { $inside } % likely: { $follows }.
levels-from-to = CSP { $least }-{ $most }
the-profile-level-of-scan = the profile level of scan { $name }: { $why }
the-profile-level-of-scan-2 = the profile level of scan { $name }
by-rating = { $level } by { $count } { $count ->
    [one] rating
   *[other] ratings
    } ({ $range } { $asked }): { $follows }.
mark-follows = { $mark }: { $follows }.
how-deep-is-weak = how deep { $mark } is weak
removed-to-sound-concrete-then-tested = { $mark }: { $state }, { $depth }: removed to sound concrete, then tested again.
weak-deep-no-surface-preparation = { $mark }: weak { $depth } deep: no surface preparation; removal and repair are to be designed.
dense-hard-trowelled-surface = { $mark }: dense, hard-trowelled surface: the preparation must open it.
salts-carried-out-by-water-brushing = { $mark }: salts carried out by water. Brushing them off does not stop the water: see moisture.
rust-find-out-whether-it-was-left = { $mark }: rust. Find out whether it was left on the slab or comes from steel in it{ $shows }.
whether-oil-comes-back-at-after = whether oil comes back at { $mark } after cleaning
how-deep-the-oil-at-has-gone = how deep the oil at { $mark } has gone
oil-cleaned-before-anything-abrasive = { $mark }: oil, { $deep }: cleaned before anything abrasive drives it in.{ $film }
so-deep = { $d } deep
sentence-of = { CAP($said) }.
what-film-is = what { $films } is
acid-drops-beside-known-bare-concrete = acid drops beside known bare concrete{ $consent }; neutralise, rinse
yet-acid-fizzed-at-places-bare-but = { $lead }, yet acid fizzed at { $strong } places: bare but dense, hard-trowelled. The preparation must open it.
and-acid-drop-did-not-fizz-film = { $lead } and { $silent } acid { $silent ->
    [one] drop
   *[other] drops
    } did not fizz: film or penetrant sealer. It comes off first.
of-water-drops-did-not-soak = { $beading } of { $count } water drops did not soak in within { $within } s{ $where_ }
on-it-comes-off-before-the-profile = { CAP($kinds) } on { $area }: it comes off before the profile is made.
a-film-was-measured-and-not-drawn = A film was measured and not drawn: taken to lie on all of the area. It comes off before the profile is made.
water-drops-spread-over-the-area-timed = water drops, spread over the area, timed until the concrete darkens
whether-the-surface-below-the-film = whether the surface below the film takes water, once it is off
whether-a-film-keeps-water-out = whether a film keeps water out
why-water-soaks-in-and-acid-does = why water soaks in and acid does not fizz
drop-acid-again-on-a-scratched-spot = drop acid again on a scratched spot, and on a fresh chip: a penetrant lets water in; a surface without lime is no bare concrete
every-water-drop-darkened-the-concrete = Every water drop darkened the concrete in time.
in-a-hidden-place-with-the-owner = {" "}in a hidden place, with the owner's consent
whether-a-film-or-a-dense-surface = whether a film or a dense surface keeps water out
solvent-rub-knife-and-thickness = solvent rub, knife and thickness
softens-under-solvent-a-stripper-takes = softens under solvent: a stripper takes it, a grinder may smear it
solvent-does-nothing-cross-linked = solvent does nothing: cross-linked or mineral, taken off by machine
peels-in-strips-scrape-before-anything = peels in strips: scrape before anything abrasive
chips-off-brittle-blasting-takes = chips off: brittle, blasting takes it
holds-to-the-slab-no-proof = holds to the slab: no proof that it may stay
depth-not-known = depth not known
the-film-over-it-comes-off-first = {" "}The film over it comes off first, without opening the concrete.
chip-or-core-after-a-signed-locate = chip or core after a signed locate; drops on the fresh face
look-and-water-drop-24-h-after = look and water drop 24 h after a trial clean
oil-came-back-within-24-h = Oil came back within 24 h of cleaning: what holds it is cut out and patched.
oil-came-back-where-no-oil = Oil came back where no oil is drawn: its place is drawn first, so that it is cut out and priced.
scratch-and-knife-to-sound-concrete = scratch and knife to sound concrete at three places, depth gauge
the-pull-off-strength-after-the-weak = the pull-off strength after the weak layer is off
on-the-prepared-slab = on the prepared slab,{" "}
aggregate-shows-as-agreed = aggregate shows, as agreed
aggregate-shows-already-more-than = aggregate shows already, more than agreed, and no preparation brings the cream back: show it to the owner on the sample panel
aggregate-shows-loose-stones-come-off = aggregate shows: loose stones come off, and the profile is read there as well
crazing-will-show-through-the-finish = crazing will show through the finish: show it to the owner on the sample panel
crazing-which-a-thin-film-follows = crazing, which a thin film follows: the preparation opens it, and the sample panel shows it
crazing-which-this-thickness-covers = crazing, which this thickness covers
the-profile-that-the-data-sheet-asks = the profile that the data sheet asks for
read-the-system-sheet-the-guide-range = read the system's sheet; until then no profile is planned for
the-profile = the profile as it is
chip-ratings-at-three-places-by-two = chip ratings at three places by two people, one after the other without telling
why-the-chip-ratings-lie-so-far = why the chip ratings lie so far apart
rate-again-together-or-divide-the-area = rate again together, or divide the area
asked-for = asked for
the-guide-range = the guide's range
it-fits-and-is-opened = it fits, and is opened by a tool all the same
it-fits = it fits
smoother-the-preparation-must-roughen = smoother: the preparation must roughen it
rougher-it-shows-through-or-takes-more = rougher: it shows through or takes more material; grind, fill, or a thicker system
rougher-ask-the-data-sheet-before = rougher: ask the data sheet before anything is ground off
scan-your-own-comparator-chips = scan your own comparator chips with the same device, three placements each
scan-again-with-a-finer-device = scan again with a finer device, or rate by hand and eye
likely-as-asked = likely as asked for
likely-smoother-the-preparation-must = likely smoother: the preparation must roughen it
not-surely-as-asked-for-hand = not surely as asked for: hand and eye decide
rate-again-blind-at-the-scanned-places = rate again blind at the scanned places, and scan one chip again with the device
the-mean-texture-of-the-area = the mean texture of the area to a quarter, nine times in ten
heights-along-the-walls = heights along the walls and in the corners too; until then nothing is filled there
pull-off-tests = pull-off tests { $on }{ $places }{ $locate_first }
lowest-of-results-at-least-asked = Lowest of { $count } results { $lowest }, { $mean }; at least { $least } asked for: { $follows }.
mean-of = mean { $mean }
the-pull-off-strength-of-the-slab = the pull-off strength of the slab{ $again }
pulled-the-glue-not-the-slab = {" "}({ $count } pulled the glue, not the slab)
chloride-up-to-by-mass-of-cement = Chloride up to { $highest } by mass of cement: { $follows }.
carbonated-to-compare-with-the-cover = Carbonated to { $deepest }: compare with the cover of bars from the locate; steel within it goes to an engineer. A reactive stain finds little lime there.
scratch-hardness-on-the-mohs-scale = Scratch hardness { $level } on the Mohs scale: { $advice }.
in-places-elsewhere-uneven-scratches = { $low } in places, { $high } elsewhere; uneven scratches follow
hard-bond-coarse-grit-soft-abrasive = hard bond, coarse grit: soft, abrasive concrete
medium-bond = medium bond
soft-bond-hard-concrete-glazes-a-hard = soft bond: hard concrete glazes a hard one
whether-bars-lie-within-the-carbonated = whether bars lie within the carbonated depth
cover-of-the-bars-from-the-signed = cover of the bars from the signed locate, beside the fresh break
steel-in-reach-of-it-corrodes = steel in reach of it corrodes, and round every new patch first: an engineer decides
not-above-the-limit = not above the limit
the-pull-off-strength-that-the-system = the pull-off strength that the system asks for
read-the-system-data-sheet = read the system's data sheet
failure-modes-differ-so-no-mean = failure modes differ, so no mean
the-surface-is-weak-remove-more-test = the surface is weak: remove more, test again
an-old-layer-lets-go-below = an old layer lets go below the limit: take it off, test the slab
the-mean-reaches = the mean reaches it
every-result-reaches = every result reaches it
in-hidden-or-later-covered-places = in hidden or later covered places with the owner's consent, noted as not drawn at random
at-random-places = at random places
ph-readings-within = { $count } pH readings within { $ph } to { $ph_2 }.
of-ph-readings-lie-outside-to-rinse = { $count } of { $count_2 } pH readings lie outside { $ph } to { $ph_2 }: rinse, and read again.
highest-of-readings-limit = Highest of { $count } readings { $worst }, limit { $limit }.
highest-reading-limit-wait-mitigate = Highest reading { $worst }, limit { $limit }: wait, mitigate, choose a breathable system, or refuse.{ $drying }
moisture-test-where = { $how }{ $consent }{ $locate_first }
in-slab-humidity-probes-or-emission = in-slab humidity probes or emission dishes{ $locate_first }
the-moisture-limit-of-the-system = the moisture limit of the system
read-the-system-data-sheet-many = read the system's data sheet; many breathable finishes have none
in-slab-humidity-probes-at-40 = in-slab humidity probes at 40 % of the depth (20 % where it dries both ways), after 24 h in the hole
moisture-emission-dishes-for-60-to-72 = moisture emission dishes for 60 to 72 h on concrete ground bare a day before
a-taped-sheet-came-up-damp-measure = A taped sheet came up damp: measure before anything is laid.
how-wet-the-slab-is-since = how wet the slab is, since a taped sheet came up damp
in-hidden-places-with-the-owner = , in hidden places with the owner's consent
how-wet-the-slab = how wet the slab is
no-drying-date-can-be-given = {" "}No drying date can be given: the vapour retarder below is absent, failed or not known, so water keeps coming.
whether-the-finish-takes-where-took = whether the finish takes where { $mark } took nothing
gave-here-asked-for-is-the-plan = { $method } gave { $profile } here, asked for is { $range }: the plan reckons with what it gives, and what is planned instead needs a panel of its own.
gave-here-as-asked = { $method } gave { $profile } here, as asked for.
panel-shows = { $mark }: { $what }
how-looks = how { $mark } looks { $missing }
sample-panel-approved = { $mark }: sample panel approved by { $signer }.
water-drops-took-from-to-s = Water drops took from { $quickest } to { $slowest } s: the stain will take unevenly. Show it to the owner on the sample panel, light and dark places both.
which-class-a-of-belongs = which class a { $class } of { $thickness } belongs to: the guide's thicknesses say { $classes }
change-order = Change order { $order }: { $found }, { $amount }; { $follows }.
signed-by = signed by { $signer }
test-left-a-mark-and-no-consent = { $count } { $count ->
    [one] test
   *[other] tests
    } left a mark and no consent of the owner is recorded.
test-left-a-mark-before-the-owner = { $count } { $count ->
    [one] test
   *[other] tests
    } left a mark before the owner's consent was given: tell the owner.
agreed-exposure-no-work-on-the-surface = Agreed exposure: { $agreed }. No work on the surface goes beyond it; a patch or a routed crack shows.
will-show-through-the-finish-show = { $mark }: { $what } will show through the finish. { $cure } Try it on the sample panel and show the owner what stays.
patches-will-show-through-the-finish = Patches will show through the finish as patches: the owner decides before they are made.
how-far-aggregate-and-scratch-pattern = how far aggregate and scratch pattern may show
agree-it-with-the-owner = agree it with the owner on a sample panel
the-owner-consent-to-tests-that-leave = the owner's consent to tests that leave a mark
signed-consent-that-names-the-places = signed consent that names the places
not-signed-the-work-goes-on-elsewhere = not signed: the work goes on elsewhere, and nothing covers it until it is
not-signed-the-work-stops-there = not signed: the work stops there
ask-the-data-sheet-for-thickness = ask the data sheet for thickness and profile
a-sample-panel-on-this-slab = a sample panel on this slab
approval-of-the-sample-panel = approval of the sample panel
prepare-finish-and-bond-test-a-panel = prepare, finish and bond-test a panel; photographs wet, dry and sealed; signed by a person with authority
photographs-of-the-panel-the-light = photographs of the panel, the light named beside each
the-finish-took-evenly = the finish took evenly.
the-finish-took-unevenly-the-owner = the finish took unevenly: the owner decides whether it may look so before full work.
the-finish-did-not-take-the-surface = the finish did not take: the surface is closed there, and the preparation must open it.
another-panel-prepared-another-way = another panel, prepared another way, left to dry and finished
on-no-system-goes-down-in-such = On { $when }: { $against }. No system goes down in such an hour.
on-the-surface-stood-above-dew-point = On { $when } the surface stood { $margin } above dew point.
air-at-at-most-asked = air at { $share }, at most { $most } asked for
surface-at-to-asked = surface at { $surface_c }, { $low } to { $high } asked for
only-above-dew-point-at-least-asked = only { $margin } above dew point, at least { $sheet } asked for
air-humidity-and-surface-temperature = air, humidity and surface temperature where the work is done
air-thermometer-hygrometer-and-surface = air thermometer, hygrometer and surface thermometer at the same hour; again on each day of work
the-climate-on-the-day-of-work = the climate on the day of work
dew-point-and-surface-temperature = dew point and surface temperature before and during the work
whether-it-is-right = whether { $readings } is right ({ $kind }): usual is { $low } to { $high }{ $slip }
mark-and-value = { $mark } { $value }
are-easily-mixed-up = ; { $slip } are easily mixed up
look-at-the-instrument-and-the-note = look at the instrument and the note again; correct it, or confirm it by name and date; until then it counts for nothing
ask-those-who-wrote-it-measure-again = ask those who wrote it, measure again, and settle it in the record ({ $versions })
which-version-of-is-right-people-say = which version of { $about } is right: people say different things
seconds-and-minutes = seconds and minutes
mpa-and-psi = MPa and psi
a-share-of-1-and-per-cent = a share of 1 and per cent
inches-and-millimetres = inches and millimetres
mils-and-millimetres = mils and millimetres
by-cement-and-by-concrete = by cement and by concrete
inches-and-feet = inches and feet
checks = { $count } { $count ->
    [one] check
   *[other] checks
    }
signatures = { $count } { $count ->
    [one] signature
   *[other] signatures
    }
signatures-and-checks = { $signatures } { $signatures ->
    [one] signature
   *[other] signatures
    } and { $checks } { $checks ->
    [one] check
   *[other] checks
    }
setting-and-value = { $name } = { $value }
no-known-year = no known year
still-works = works
panel-dry = dry
panel-wet = wet
panel-sealed = sealed
fahrenheit-and-celsius = °F and °C
it-will-show-through-the-finish = ; it will show through the finish
after-a-signed-locate = , after a signed locate
taken-away-and-cleared = Taken away by { $firm } (licence { $licence }), cleared by { $by } on { $on }.{ $remover }
remover-may-have-left = {" "}Its remover ({ $remover }) may have left what no bond holds on: rinse as its sheet says, water drops there before anything goes down.
samples-of-each = { $samples }, of each: { $marks }
whether-polarised-light-saw-all = whether polarised light saw all of { $marks }: fibres in floor adhesive may be too fine for it (New York ELAP 198.1 and EPA advice, from memory)
one-sample-by-electron-microscope = one of the clean samples by electron microscope (TEM)
whether-asbestos-commercial = whether anything here holds asbestos: a building that is no small house is inspected before work, whatever its year (40 CFR 61.145, from memory)
inspection-by-an-accredited-inspector = inspection by an accredited inspector, in writing
the-day-the-slab-was-cast = the day on which the slab was cast
delivery-notes-of-the-concrete = delivery notes of the concrete, or the general contractor's diary
concrete-is-too-young = Cast on { $cast }: { $old } { $old ->
    [one] day
   *[other] days
    } old on { $day }; { $least } asked. Wait until { $ready }, or take a system whose sheet goes on younger concrete. Age is not dryness: moisture is measured all the same.
old-enough-go-on-younger-wait = old enough: go on; younger: wait, or a system for young concrete
pattern-cracking-in-a-wet-slab = Pattern cracking in a slab that stands wet or freezes wet: whether it fails from inside is told by petrography, not by eye; bonded work is held.
so-many-days = { $days } { $days ->
    [one] day
   *[other] days
    }
decided-by = { $by } on { $on }: { $reason }{ $reference }
decided-on = {" "}({ $reference })
moisture-mitigated = Decided by { $who }. A coat below the system keeps the water back: laid on its own sheet's profile and limit, which stand for the system's.
moisture-not-mitigated = Decided by { $who }. No coat can follow it: one would show through this finish, or the catalogue has none. Wait, a breathable system, or leave it.
moisture-waited-for = Decided by { $who }. Nothing goes down until it is dry enough: read again before.
moisture-no-limit = Decided by { $who }. The maker states no limit for moisture.
the-moisture-limit-of-the-coat = up to which moisture the coat below the system may be laid
read-the-sheet-of-the-coat = read the data sheet of the coat, and put it in methods.toml (most_in_slab_humidity)
asked-for-with-the-lot = asked for with the lot, under { $zone }
cast-after-the-newest-reading = the day on which the slab was cast: { $cast } lies after the newest reading
what-a-decision-lifts = what { $by } lifts: nothing here is called { $finding }{ $mark }, or it takes a licence; it changes nothing
name-the-finding-and-its-mark = name the finding and mark as tooth assess does, and the licence where an engineer is asked for
moisture-limit-is-named = Decided by { $who }, that the maker states no limit; the sheet in systems.toml names one. One of the two is wrong.
what-the-laboratory-could-not-tell = what { $samples } hold, of which the laboratory could not tell
another-sample-of-the-same-place = another sample of the same place
a-drop-of-the-stain-itself = a drop of the stain itself, wetted for its dwell, in hidden places
a-drop-of-the-stain-itself-with-consent = a drop of the stain itself, wetted for its dwell, in hidden places, with the owner's consent
a-stain-or-acid-drop-on-bare = a drop of the stain or of dilute acid on bare spots; where something lies on it, on a spot that is bared
a-stain-or-acid-drop-on-bare-with-consent = a drop of the stain or of dilute acid on bare, hidden spots with the owner's consent; where something lies on it, on a spot that is bared
aggregate-shows-and-stays = the aggregate is the texture that stays.
carbonated-deeper-than-the-cut = Carbonation goes { $depth } deep, deeper than anything that is taken off here: acid may fizz and a stain that reacts may still find no lime. Drop the stain itself in a hidden place.
no-lime-answered = At { $silent } of { $count } drops no lime answered: a stain that reacts does not take there.{ $tried } Still possible: a dye or water-based stain, or opening the surface by pads or grinding within the agreed exposure and a new panel.
lime-answered = Lime answered at every place that was tried: a stain that reacts can take.
lime-leads-to = answers: the stain can take; does not: a dye, a water-based stain, or opening it and a new panel
washed-with-acid-before = { $marks }: washed with acid before; the lime near the surface may be used up and old residue may still sit there. Rinse, read the pH and drop the stain itself.
whether-lime-is-within-reach = whether lime is within reach of the stain
film-is-recoated-over = { $mark } stays, as { $by } decided: it holds. It is cleaned, scuffed and coated over.
film-is-rewetted = { $mark } stays, as { $by } decided: it holds and its solvent softens it. It is cleaned, re-wetted until it flows out, and coated again.
kept-film-does-not-soften = { $mark } was to be re-wetted ({ $by }), and its solvent does nothing to it: it is no longer, or never was, of that chemistry. It is planned and priced as screened dull and coated over instead. Decide that, with the sheet of the new coat and a trial that is cut with a knife; else it comes off.
kept-film-lets-go = { $mark } was to stay ({ $by }), and it comes off: what is coated over it comes off with it. It is priced as taken off.
kept-film-leads-to = holds: cleaned and coated again; comes off: taken off first
whether-the-film-holds = whether { $mark }, which is to stay, holds
knife-at-three-places = knife through it at three places, one of them where it is worn
knife-and-rag-with-its-solvent = knife at three places, and a rag with its own solvent for a minute
water-and-salts-come-first = { $mark } was to stay ({ $by }), over water or salts: coated again it seals them in and whitens or peels. Find the water, take the salts off, let it dry and show it dry, then decide.
texture-stays = The { $texture } stays: only what cleans, softens and lifts is used, and comparator chips rate nothing here.
texture-stays-against-the-sheet = The { $texture } stays, and { $asks }: both cannot be had. Ask the maker in writing, or choose a system that goes on it as it is.
the-sheet-asks-a-profile = the sheet asks for { $range }
the-sheet-asks-a-tool = the sheet asks for a surface opened by a tool
weak-and-the-texture-stays = { $marks }: weak where the texture stays. It cannot come off without the texture: it is left and shown, hardened by trial, or the texture goes there.
read-the-system-sheet-it-may-ask-none = read the system's sheet: what soaks in often asks for none, and nothing is roughened by a range from memory
the-edge-of-what-is-stripped-shows = { $marks } comes off { $area } of the area: the edge against the other { $rest } will show through the finish. Work wall to wall (the plan says what that costs), stop at a joint, or have the owner sign the edge on the sample panel.
ghost-and-what-of-it = { $kind } ({ $of })
cure-of-glue-rows = Usual cure: remover or poultice, then pads; the shade stays in the pores.
cure-of-a-tile-pattern = Usual cure: pads or a light even cut wall to wall within the agreed exposure; often it stays.
cure-of-carpet-lines = Usual cure: scrape, fill the holes, wash; the line stays lighter.
cure-of-an-old-patch = No cure: a patch drinks and colours in its own way. Show it, frame it with a cut, or cover the floor.
cure-of-a-strip-edge = Usual cure: strip to a wall or a joint.
cure-of-chalk = Usual cure: brush dry, then soap; red chalk stays. Use blue or white.
cure-of-marker = Usual cure: poultice with its solvent, by trial; a shade may stay.
cure-of-paint-spots = Usual cure: scrape, then remover on the spot, rinsed; the spot may drink differently.
cure-of-tyre-marks = Usual cure: soap or a tyre-mark remover and pads; plasticiser that went in may stay.
cure-by-trial = Find the cure by trial on a hidden spot.
small-damage = { $mark }: { $count } × { $kind }, mended one by one by hand; nothing is cut.{ $shows }
each-shows-through-the-finish = {" "}Each will show through the finish: show it on the sample panel.
highest-reading-limit-waits = Highest reading { $worst }, limit { $limit }: it waits, as was decided.
how-wet-the-slab-is-once-it-has-waited = how wet the slab is once it has waited
when-it-was-decided = when { $by } decided about { $mark }: a decision without a day changes nothing
write-the-day-beside-the-decision = write the day beside the decision
whether-the-slab-freezes-wet = whether the slab freezes while it is wet
ask-the-owner-and-the-climate = ask the owner, and look at the climate of the place
on-so-much-of-the-area = {" "}(nearest to them: { $area } of { $net })
film-is-to-stay = { $mark } is to stay, as { $by } decided; nobody has cut or rubbed it yet.
stain-drops-came-out-unevenly = Drops of the stain came out unevenly: show them to the owner on the sample panel, light and dark places both.
drop-the-stain-before-it-is-given-up = {" "}Drop the stain itself before it is given up.
whether-any-of-the-area-sounds-hollow = whether any of the area sounds hollow
which-decision-counts = which decision counts: { $one }, or { $other }
ask-who-decided-and-strike-one = ask who decided, and strike one of the two out; until then neither is sure
kept-film-lets-go-in-part = { $mark } was to stay ({ $by }). It comes off at some cuts and holds at others: { $area } nearer to the cuts that failed comes off, { $rest } stays.
kept-film-lets-go-somewhere = { $mark } is to stay, as { $by } decided. It came off at a cut and held at more, and nobody wrote down where: it is priced as it holds.
how-far-the-film-has-let-go = how far { $mark } has let go
where-the-film-has-let-go = where { $mark } has let go
cut-round-it-until-it-holds = cut again in that corner and round it until it holds, and write down where each cut is
smoother-ask-the-data-sheet-before = smoother: ask the data sheet before it is roughened
salts-are-looked-at-again = { $mark }: nothing closes over it until somebody has looked again a week of dry days after the salts came off, found none come back, and signed that with name and date. A finish over salts turns white and lets go.
how-much-water-brings-the-salts = how much water comes up where salts lie ({ $mark })
sheets-or-probes-where-salts-lie = taped sheets over night or probes, one of them where the salts were{ $locate_first }
salts-lead-to = dry: the salts come off and are looked at again; wet: the water comes first, or a finish that lets it through
rust-left-on = { $mark }: rust that was left on the slab. A remover takes it off bare concrete, on a trial spot first{ $shows }.
rust-from-within = { $mark }: rust from inside the slab. A remover takes the stain, not its cause, and it comes back: open it to the steel, treat or cut that out, and patch; or the owner signs that it stays. No remover is priced.
rust-on-a-film-that-stays = { $mark } lies where the film stays: a rust remover whitens or softens a film. None is used there. Either the film comes off there, or somebody signs that the stain stays under the new coat.
where-the-rust-comes-from = where the rust at { $mark } comes from
look-for-what-stood-there-and-for-steel = look for what stood or was watered there, and over it with a cover meter or magnet; write rust_left_on or rust_from_within
rust-leads-to = left on it: a remover on bare concrete; from inside: opened to the steel, or signed to stay
routed-crack-will-show = { $marks } is routed and filled or sealed: a line half an inch wide that shows through the finish and takes the stones with it where aggregate shows. Show it on the sample panel and have the owner sign it; else it is left as a crack that shows, by a decision with name and date.
evenness-leads-to = even: nothing to sign; uneven: shown on the sample panel and signed
no-finding-rests-on-these = Read here, and no finding rests on it: { $kinds }. Another reading of the kind stands for it, it was taken on a mark, too few were taken, or nothing here asks for its kind.
reading-of-kind = { $count } × { $kind }
