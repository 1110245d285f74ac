hours-of = { $hours } h{ $what }
less-by = -{ $text }
more-by = +{ $text }
steps-instead-of = { $added } en vez de { $gone }
steps-besides = { $added } además
steps-without = sin { $gone }
without-machine = sin { $name }
own-machines-only = solo máquinas propias
the-same-steps-in-another-order = los mismos pasos en otro orden
of-crew = {" "}de cuadrilla
of-dust = {" "}de polvo
the-same-cost-time-and-dust = el mismo costo, tiempo y polvo
cracks-or-joints = Grietas o juntas ({ $task })
cannot-be-treated-ruled-out = { $what } no se pueden tratar; descartado: { $out }.
cannot-be-treated-no-method = { $what } no se pueden tratar: ningún método del catálogo lo hace.
method-and-why-not = { LOWER($name) } ({ $reason })
shallow-spalls = Desconchados poco hondos
low-spots = Puntos bajos
mitigation-is-not-in-this-price = { $reason } La mitigación no está en este precio.
an-engineer-or-licensed-specialist = Primero mira un ingeniero o especialista con licencia: { $because }
do-not-bid = No cotizar: { $because }
whether-old-filler-sits-in-is-not = No se sabe si hay relleno viejo en { $joints }: sacarlo está en el precio.
replacing-that-part-of-the-slab = { $marks }: reemplazar esa parte de la losa no está en este precio.
depth-of-the-loose-layer-not-known = { $mark }: profundidad de la capa suelta no conocida, cotizada con la menor profundidad de la regla.
doubtful-priced-as-sound-its-repair = { $mark }: dudoso, cotizado como firme: su reparación se suma si está hueco.
no-pull-off-result-at-least-mm = Sin prueba de arranque: se quitan al menos { $millimetres } mm de toda el área.
pull-off-failed-in-the-slab = El arranque falló dentro de la losa: se quitan al menos { $millimetres } mm de toda el área, y se prueba otra vez.
depth-of-what-is-still-weak-not = { $mark }: profundidad de lo que sigue débil no conocida, tomada como { $millimetres } mm.
oil-of-unknown-depth-taken-as-soaked = { $mark }: aceite de profundidad no conocida, tomado como absorbido.
film-of-unknown-thickness-taken = { $mark }: película de espesor no conocido, tomada como gruesa.
film-of-unknown-thickness-taken-2 = { $mark }: película de espesor no conocido, tomada como delgada.
no-chip-rating-taken-as-the-likeliest = Sin calificación con plaquetas: tomado como { $level }, lo más probable según el escaneo.
the-surface-is-more-acid-than = La superficie es más ácida de lo que permite la ficha: primero se enjuaga y neutraliza.
no-chip-rating-of-the-bare-slab = Sin calificación con plaquetas de la losa desnuda: tomada como lisa, CSP 1.
an-old-layer-let-go-below = Una capa vieja se soltó bajo el límite: tomada como película gruesa que se quita.
a-film-was-measured-and-not-drawn-2 = Se midió una película que no está dibujada: tomada como película gruesa en toda el área.
water-beads-and-no-acid-drop-was = El agua forma gotas y no se probó gota de ácido: tomada como sellada con película delgada.
too-few-water-drops-priced-as-bare = Muy pocas gotas de agua: cotizado como desnudo donde no hay película marcada; una película que las gotas muestren se suma.
no-pull-off-result-priced-as-strong = Sin prueba de arranque: cotizado como bastante fuerte para un acabado delgado; se quita más si falla.
not-all-of-the-area-was-sounded = No se sondeó toda el área: el resto se cotiza como firme, y los lugares huecos que tenga se suman.
chip-ratings-at-three-places-by-two-2 = calificación con plaquetas en tres lugares por dos personas: { $target } al final del trabajo; desnudo, sin lugares saltados, martillo sobre todos los parches{ $bruised }
the-bruised-skin-is-still = ; la piel golpeada sigue ahí: el paso siguiente la quita, y otra vez la prueba de arranque
emission-dish-none-above = { $count } { $count ->
    [one] plato
   *[other] platos
    } de emisión, ninguno sobre { $most }.
humidity-probe-none-above = { $count } { $count ->
    [one] sonda
   *[other] sondas
    } de humedad, ninguna sobre { $most }.
no-oil-has-come-back-24-h = No ha vuelto aceite 24 h después de limpiar: { $marks }.
surface-ph-read-times-after-the-last = pH de la superficie leído { $count } veces después del último enjuague, antes de que el agua escurra.
pull-off-test-on-the-prepared-slab = { $count } { $count ->
    [one] prueba
   *[other] pruebas
    } de arranque en la losa preparada: { $least }.
a-dark-cloth-stays-clean-at-places = Un paño oscuro queda limpio en { $count } lugares.
water-drop-soak-in-within-s = { $count } { $count ->
    [one] gota
   *[other] gotas
    } de agua se absorben en { $within } o menos.
by-chip-ratings-of-two-people-one = { $range } por { $count } calificaciones con plaquetas de dos personas, una después de la otra.
air-humidity-and-surface-read = Aire, humedad y superficie leídos ese día: bastante sobre el punto de rocío.
why-no-way = { $all }.
ruled-out = { $what }; descartado: { $helpful }
no-allowed-method-does-it-within-its = { $what }: ningún método permitido lo hace en sus pasadas, con una herramienta para los bordes
cannot-be-reached = No se puede llegar a { $target }
loose-places-cannot-be-repaired = Los lugares sueltos no se pueden reparar
the-film-cannot-be-taken-off = La película no se puede quitar
the-oil-cannot-be-lifted = El aceite no se puede sacar
dirt-salts-or-rust-cannot-be-taken = La suciedad, las sales o el óxido no se pueden quitar
the-weak-layer-cannot-be-taken-off = La capa débil no se puede quitar
the-dense-surface-cannot-be-opened = La superficie densa no se puede abrir
the-surface-cannot-be-opened = La superficie no se puede abrir con herramienta, como pide el sistema
the-surface-cannot-be-left-clean = La superficie no puede quedar limpia y seca
no-allowed-sequence-of-methods-ends = Ninguna secuencia permitida de métodos termina desnuda, firme y limpia con el perfil pedido.
agreed-is = { $exposure }, lo acordado es: { $agreed }
passes-doors-from-mm-the-narrowest = { $name }: pasa puertas desde { $millimetres } mm, la más angosta es de { $millimetres_2 } mm
works-on-slopes-up-to-here = { $name }: trabaja en pendientes hasta { $percent } %, aquí es { $percent_2 } %
weighs-kg-the-floor-carries-kg = { $name }: pesa { $kilograms } kg, el piso aguanta { $kilograms_2 } kg
needs-the-site-has = { $name }: necesita { $power }, el sitio tiene { $power_2 }
engine-indoors = { $name }: motor bajo techo
the-finish-did-not-take-on-which = el acabado no tomó en { $mark }, que se preparó así
the-site-allows-here = el sitio permite { $dust } ({ $dust_2 } aquí)
open-dust-indoors = polvo abierto bajo techo
the-site-allows-no-water = el sitio no permite agua
the-site-allows-no-loud-work = el sitio no permite trabajo ruidoso
the-site-allows-no-vibration = el sitio no permite vibración
cuts-into-the-slab-and-no-signed = corta la losa y ninguna localización firmada cubre esta área
the-film-holds-to-the-slab-under = la película agarra a la losa bajo el cuchillo
solvent-has-no-effect-on-the-film = el solvente no hace nada a la película
the-system-sheet-forbids-an-acid-etch = la ficha del sistema prohíbe el grabado con ácido
the-system-sheet-does-not-allow = la ficha del sistema no permite el grabado con ácido
uses-up-the-lime-that-a-reactive = gasta la cal que necesita un acabado reactivo
by-objective = { $objective }
step-inside = { LOW($name) }
trades = { $all }
term = { $text }{ $mark }{ $drawing }
term-of = { " " }({ $mark })
term-drawing = {" "}(plano { $drawing })
item-near = { $mark }: { $item }, recubrimiento de concreto { $cover }
item-near-cover-not-known = { $mark }: { $item }, no se sabe cuánto concreto lo cubre
hold-near = cómo el corte se mantiene lejos de { $items }
release-signed = Firmado, como pide la liberación: { $condition }
water-drops-where-remover-was = { $count } gotas de agua donde se usó el removedor ({ $marks }) se absorben en { $within }.
repairs-tapped-again-once-cured = { $marks } golpeado otra vez ya curado: como la losa alrededor.
pull-off-test-on-repairs = { $count } { $count ->
    [one] prueba
   *[other] pruebas
    } de arranque en reparaciones ({ $marks }): { $least } o más.
low-spots-under-a-straightedge = { $marks } bajo la regla: no más hondo que { $most }.
coat-below-the-system = una capa bajo el sistema
item-reached = { $mark }: { $item }, recubrimiento de concreto { $cover }, y el corte baja { $cut }
term-signed = { $term }: por { $by }
lime-answers-at-places = La cal responde a una gota de tinte o ácido en { $count } lugares, algunos donde se quitó algo.
slowest-drop-against-the-quickest = La gota de agua más lenta tarda a lo más { $most } veces lo que la más rápida.
the-film-that-stays-holds = { $marks } está firme bajo el cuchillo una vez limpia.
spoils-the-texture-that-stays = daña la textura que se queda ({ $texture })
weak-or-closed-is-left-the-texture-stays = { $marks }: débil o cerrado, se deja así, porque la textura se queda.
profile-of-the-guide-from-memory = La hoja no nombra perfil. Una guía tiene { $range }, de memoria: no decide ni el método ni el precio. Leer la hoja antes de raspar nada; lo que pida puede costar más.
weather-of-the-coat = A la intemperie: seco { $before } antes y { $after } después, { $least } seguidas para trabajar, la losa sin sol y enfriándose, { $margin } sobre el punto de rocío hasta el final; la hoja decide. Si no, se opaca, se pone blanco o hace burbujas.
opens-only-for-what-soaks-in = abre la piel para lo que penetra, no para un recubrimiento
gentle-first-on-a-decorative-slab = Concreto estampado o de agregado expuesto: primero removedores, almohadillas, piedras y mallas; nada lo desbasta ni lo granalla hasta que una ficha lo pida.
no-sheet-asks-for-it-on-a-decorative-slab = ninguna ficha lo pide, y daña una losa decorativa
wall-to-wall = { $name } sin película de pared a pared
no-edge-shows = no se ve ningún borde; { $trades }; { $price } más en el precio
chip-ratings-and-what-the-sheet-asks = calificación con plaquetas en tres lugares por dos personas, contra el perfil que pide la ficha: leerla primero; desnudo, sin lugares saltados, martillo sobre todos los parches{ $bruised }
the-profile-of-the-sheet-by-chip-ratings = El perfil que pide la ficha (ninguna a la mano lo nombra todavía) por { $count } calificaciones con plaquetas de dos personas, una después de la otra.
