area-to-prepare = area to prepare
outline-alone = the outline; no obstacle in it
outline-less-obstacles = outline { $gross } − obstacles { $obstacles }
patches = patches
patches-squared-up = loose places squared up; near neighbours joined
patch-area = patch area
length-by-width = { $length } × { $width }
sides-of-patches = { $sides }
saw-cut = saw cut
round-each-patch = 2 × (length + width) of each patch
patch-mortar = patch mortar
area-by-depth-at-least = area × depth, at least { $least } deep
rubble = rubble
volume-by-weight = { $volume } × { $weight } kg/m³
step-and-scope = { $step }, { $scope }
by-machine-and-edging = { $field } by machine + { $band } along walls by { LOWER($edging) }; { $passes } { $passes ->
    [one] pass
   *[other] passes
    }
passes = { $passes } { $passes ->
    [one] pass
   *[other] passes
    }
dust-and-rubble = { $step }: dust and rubble
area-by-depth-by-weight = { $area } × { $depth } × { $weight } kg/m³
solids-used-up = { $step }: shot, abrasive or absorbent used up
area-by-solids-by-passes = { $area } × { $solids } kg/m² × { $passes }
wearing-part = { $step }: { $part }
area-by-passes-over-life = { $area } × { $passes } ÷ { $lasts } a set, rounded up
liquid-to-recover = { $step }: liquid to recover
area-by-liquid = { $area } × { $liquid } L/m²
filler = { $step }: filler
width-by-depth-by-length = { $width } × { $depth } × { $length }
length-on-the-plan = length on the plan; on the border of two areas half to each
fill-on = { $volume } on { $area } ({ $basis })
fills-in-all = { $fills }; { $area } in all
drums-for-dry-waste = drums for dry waste
mass-over-drum = { $mass } ÷ { $loose } kg/m³ loose ÷ { $drum } a drum, rounded up
slurry-to-take-away = slurry to take away
liquid-and-what-it-carries = { $liquid } put on + { $solids } of concrete and abrasive in it
system-material = { $system } (material of the system)
layer-and-waste = ({ $net } × { $thickness }{ $valleys }) + { $waste } waste; thickness { $from }
valleys-by-sand-patches = {" "}+ { $net } × { $depth } of valleys (sand patches on the sample panel)
valleys-to-be-measured = ; valleys of { $level } come on top: measure them on the sample panel
system-containers = { $system } (containers)
volume-over-container = { $volume } ÷ { $container } each, rounded up
hydrochloric-acid-31 = hydrochloric acid, 31 %
a-fifth-of-the-mix-1-4 = a fifth of the mix, 1 : 4 by volume; acid into water
water-for-the-mix = water for the mix
four-fifths-of-the-mix = four fifths of the mix
sodium-bicarbonate-to-hold-ready = sodium bicarbonate to hold ready
for-all-acid-of-the-mix-10 = for all acid of the mix, 10.007 mol/L × 84.006 g/mol
sodium-bicarbonate-likely-used = sodium bicarbonate likely used
for-the-tenth-left-unspent-assumption = for the tenth left unspent (assumption)
