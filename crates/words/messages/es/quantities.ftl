area-to-prepare = área por preparar
outline-alone = el contorno; sin obstáculo adentro
outline-less-obstacles = contorno { $gross } − obstáculos { $obstacles }
patches = parches
patches-squared-up = lugares sueltos puestos a escuadra; vecinos cercanos unidos
patch-area = área de parches
length-by-width = { $length } × { $width }
sides-of-patches = { $sides }
saw-cut = corte con sierra
round-each-patch = 2 × (largo + ancho) de cada parche
patch-mortar = mortero de parche
area-by-depth-at-least = área × profundidad, al menos { $least }
rubble = escombro
volume-by-weight = { $volume } × { $weight } kg/m³
step-and-scope = { $step }, { $scope }
by-machine-and-edging = { $field } con máquina + { $band } junto a muros con { LOWER($edging) }; { $passes } { $passes ->
    [one] pasada
   *[other] pasadas
    }
passes = { $passes } { $passes ->
    [one] pasada
   *[other] pasadas
    }
dust-and-rubble = { $step }: polvo y escombro
area-by-depth-by-weight = { $area } × { $depth } × { $weight } kg/m³
solids-used-up = { $step }: granalla, abrasivo o absorbente gastado
area-by-solids-by-passes = { $area } × { $solids } kg/m² × { $passes }
wearing-part = { $step }: { $part }
area-by-passes-over-life = { $area } × { $passes } ÷ { $lasts } por juego, redondeado hacia arriba
liquid-to-recover = { $step }: líquido por recuperar
area-by-liquid = { $area } × { $liquid } L/m²
filler = { $step }: relleno
width-by-depth-by-length = { $width } × { $depth } × { $length }
length-on-the-plan = largo en el plano; en el lindero de dos áreas, la mitad a cada una
fill-on = { $volume } en { $area } ({ $basis })
fills-in-all = { $fills }; { $area } en total
drums-for-dry-waste = tambores para desecho seco
mass-over-drum = { $mass } ÷ { $loose } kg/m³ suelto ÷ { $drum } por tambor, redondeado hacia arriba
slurry-to-take-away = lodo por retirar
liquid-and-what-it-carries = { $liquid } puestos + { $solids } de concreto y abrasivo que lleva
system-material = { $system } (material del sistema)
layer-and-waste = ({ $net } × { $thickness }{ $valleys }) + { $waste } de merma; espesor { $from }
valleys-by-sand-patches = {" "}+ { $net } × { $depth } de valles (parches de arena en el panel de muestra)
valleys-to-be-measured = ; los valles de { $level } se suman: medirlos en el panel de muestra
system-containers = { $system } (envases)
volume-over-container = { $volume } ÷ { $container } cada uno, redondeado hacia arriba
hydrochloric-acid-31 = ácido clorhídrico, 31 %
a-fifth-of-the-mix-1-4 = un quinto de la mezcla, 1 : 4 por volumen; el ácido al agua
water-for-the-mix = agua para la mezcla
four-fifths-of-the-mix = cuatro quintos de la mezcla
sodium-bicarbonate-to-hold-ready = bicarbonato de sodio por tener listo
for-all-acid-of-the-mix-10 = para todo el ácido de la mezcla, 10.007 mol/L × 84.006 g/mol
sodium-bicarbonate-likely-used = bicarbonato de sodio que probablemente se use
for-the-tenth-left-unspent-assumption = para la décima parte que queda sin gastar (suposición)
