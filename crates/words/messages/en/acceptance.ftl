pull-off-strength = Pull-off strength: { $said }{ $follows }.
more-to-read = ; { $missing } more to read
on-average-least-limit = { $number } on average, least { $least }, limit { $asked }
that-of-the-lot-reach-with-confidence = { $number } that { $share } of the lot reach with { $confidence } confidence, limit { $asked }
of-the-lot-at-or-more-asked = { $ratio } % of the lot at { $asked } or more, { $share } asked for
least-limit = least { $least }, limit { $asked }
profile-by-scan-is-likely-by-scan = Profile by scan: { $range } is { $chance } % likely by { $count } { $count ->
    [one] scan
   *[other] scans
    }; hand and eye decide.
of-outside-the-limit = { $test }: { $n } of { $count } outside the limit.
results-missing = { $test }: { $missing } more to read.
all-within-the-limit = { $test }: all { $count } within the limit.
of-places-were-read = { $what }: { $places } of { $needed } places were read that lie { $apart } or more apart. Where more than three are asked for, write x and y of each.
on-a-scale = { $value } { $scale }
profile-by-scan = Profile by scan
not-prepared-yet-nothing-to-accept = not prepared yet: nothing to accept
every-test-that-the-system-asks = every test that the system asks for is accepted
chip-rating = Chip rating
chip-rating-one-person-alone-rated = Chip rating: one person alone rated it; two rate blind.
nothing-yet = nothing yet
the-breaks-are-of-different-kinds = ; the breaks are of different kinds, so no mean is taken over them: every result must reach the limit, and the rule hold as well
not-met = , not met
dark-cloth = Dark cloth
water-drops = Water drops
standing-against = { $against }
release-not-signed = Not signed yet, as the release asks: { $condition }.
disks-pulled = Pull-off tests
still-not-known = Still not known: { $what }. Test: { $test }.
chip-rating-ask-the-sheet = Chip rating: { $range } is a guide range from memory and accepts nothing. Ask the sheet which profile it wants.
no-drop-where-it-came-off = Water drops: none was placed where { $marks } came off.
