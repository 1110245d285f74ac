weak-layer-leads-to = hasta { $deepest_weak_layer }: se quita hasta concreto firme; más hondo: una reparación por diseñar
scaling-leads-to = hasta { $medium_scaling }: se quita y se prueba; hasta { $severe_scaling }: se rehace la superficie; más hondo: comparar con reemplazo
confirmed-it-counts-corrected = confirmado: cuenta; corregido: cuenta la cifra buena; ninguno: la prueba cuenta como faltante
the-version-that-is-settled-decides = decide la versión que se acuerde
on-the-ground-and-not-stressed-go = sobre el terreno y sin tensar: adelante; suspendida o tensada: un ingeniero
located-and-marked-cutting-may-start = localizado y marcado: se puede empezar a cortar; sin localizar: no se corta nada
none-found-it-may-be-removed = no se halló: se puede quitar con los controles usuales; se halló: remoción autorizada
none-found-go-on-found-not = no se halló: adelante; se halló: no es candidata, referir o reemplazar
dormant-and-narrow-prepared = quieta y angosta: se prepara con lo demás; ancha: se ranura y rellena; se mueve: se lleva hasta arriba; desplazada: un ingeniero
works-carried-through-the-finish-does = trabaja: se lleva hasta arriba del acabado; no trabaja: se rellena semirrígida
sound-go-on-loose-skin-cut-out = firme: adelante; piel suelta: cortar y parchar; capa vieja: se quita; bajo el tercio de arriba o sin apoyo: un ingeniero
no-bars-and-in-the-top-third = sin varillas y en el tercio de arriba: parchar; si no, un ingeniero
soaks-in-bare-beads-without-fizz = se absorbe: desnudo; forma gotas sin burbujeo: una película que se quita; forma gotas con burbujeo: denso, por abrir
softens-or-peels-strip-or-scrape-cross = se ablanda o se pela: remover o raspar; reticulado o quebradizo: desbastar o chorrear
at-the-surface-scrubbed-deep-drawn-out = en la superficie: se friega; hondo: se extrae, o se corta donde vuelve
reaches-the-limit-go-on-fails = llega al límite: adelante; falla dentro de la losa: quitar más y probar otra vez; falla en otra parte: esa capa se quita
reaches-the-limit-the-system-may = llega al límite: puede seguir el sistema; falla: quitar más, probar otra vez
below-the-limit-go-on-above-wait = bajo el límite: adelante; sobre él: esperar, mitigar, un sistema que respira, o no hacerla
within-the-limits-go-on-outside-rinse = dentro de los límites: adelante; fuera: enjuagar y leer otra vez
within-the-range-it-stays-smoother = dentro del rango: se queda; más liso: se hace áspero; más áspero: se desbasta, se rellena, o un sistema más grueso
the-sheet-names-the-class-and-its = la ficha nombra la clase y su perfil; hasta entonces vale el rango de la clase nombrada
within-the-limits-the-day-work-starts = dentro de los límites: empieza el trabajo del día; fuera: espera
agreed-and-signed-tests-and-steps = acordado y firmado: se pueden hacer pruebas y pasos que marcan; sin acuerdo: solo lugares ocultos, o ninguno
approved-full-work-at-the-panel-rate = aprobado: trabajo completo, con el rendimiento y perfil del panel; sin aprobar: otra manera u otro sistema
low-filled-to-the-fall-high-enough = bajo: se rellena a la pendiente; bastante alto: se deja como está
picks-the-bond-of-the-diamonds = escoge la liga de los diamantes, y el rendimiento
below-the-limit-go-on-above = bajo el límite: adelante; sobre él, con acero al alcance: un ingeniero
settles-the-rule-that-asks = aclara la regla que pregunta
nothing-found-stands-against-it-before = Nada de lo hallado está en contra; { $due } antes de empezar el trabajo.
not-known-yet = No se sabe todavía: { $what }{ $others }.{ $known }
known-already = {" "}Ya se sabe: { $reason }
and-more = {" "}y { $count } más
and-more-of-this-gravity = { $first } Y { $more } más de esta gravedad.
the-usual-preparation-takes-care = La preparación usual se encarga de todo lo hallado.
all-that-the-system-asks = Se cumple todo lo que pide el sistema.
checks = { $count } { $count ->
    [one] revisión
   *[other] revisiones
    }
signatures = { $count } { $count ->
    [one] firma
   *[other] firmas
    }
signatures-and-checks = { $signatures } { $signatures ->
    [one] firma
   *[other] firmas
    } y { $checks } { $checks ->
    [one] revisión
   *[other] revisiones
    }
setting-and-value = { $name } = { $value }
no-known-year = año no conocido
whether-the-film-of-or-later = si la película de { $year } o después no tiene { $free }: ningún año lo descarta
whether-the-old-film-holds = si la película vieja tiene { $asked }
the-laboratory-found-in-the-old-film = El laboratorio halló { $found } en la película vieja: solo remoción autorizada; nadie desbasta, lija, raspa ni chorrea.
fire-overload-or-impact-has-damaged = Fuego, sobrecarga o impacto dañó la losa: lo que queda de ella lo juzga un ingeniero.
whether-fire-overload-or-impact-has = si fuego, sobrecarga o impacto dañó la losa
ask-the-owner-and-look-for-what = preguntar al dueño, y buscar lo que tal daño deja
whether-the-slab-is-post-tensioned = si la losa está postensada
drawings-a-stamp-in-the-slab-round = planos, un sello en la losa, cavidades redondas en su canto, o la localización
a-tendon-lies-in-the-slab = Hay un tendón en la losa: está postensada, digan lo que digan los papeles. No cortar, fresar ni extraer núcleos hasta que un ingeniero apruebe.
the-slab-is-post-tensioned-no-cutting = La losa está postensada: no cortar, fresar ni extraer núcleos hasta que los tendones estén localizados y un ingeniero apruebe.
the-slab-is-suspended-load-of-machines = La losa está suspendida: el peso de las máquinas, la remoción y una capa nueva los juzga un ingeniero.
what-carries-the-slab = qué sostiene la losa
drawings-or-a-look-from-below = planos, o una mirada desde abajo; las losas suspendidas van con un ingeniero
a-signed-locate-covers-this-area-keep = Una localización firmada cubre esta área; respetar sus marcas.
a-signed-locate-covers-this-area-yet = Una localización firmada cubre esta área, pero un elemento en ella no tiene lugar conocido: todo paso que corta está detenido.
no-signed-locate-covers-this-area = Ninguna localización firmada cubre esta área: todo paso que corta está detenido.
signed-locate-by-cover-meter-or-radar = localización firmada con detector de varillas o radar, la calefacción caliente bajo cámara térmica; no taladrar, extraer núcleos, aserrar, escarificar, fresar ni romper antes, incluidas las pruebas
where-tubes-conduit-tendons-and-bars = dónde están tubos, conductos, tendones y varillas
samples-taken-wet-by-a-trained-person = muestras tomadas en húmedo por una persona capacitada, de cada clase de película, a un laboratorio acreditado; nadie toca la película hasta tener la respuesta
the-product-own-sheet-and-the-invoice = la ficha del producto mismo y la factura que muestra su fecha, o si no una muestra
the-laboratory-found-neither-of-what = El laboratorio no halló nada de lo que se supone en películas viejas.
scaling-lost = { $mark }: descascarado { $class }, { $depth } perdidos: { $follows }.
how-deep-has-scaled = qué tan hondo se descascaró { $mark }
whether-goes-below-the-top-third = si { $mark } pasa del tercio de arriba de la losa
whether-reinforcement-shows = si se ve el refuerzo en { $mark }
spall-deep = { $mark }: desconchado de { $depth } de hondo: { $follows }.
deep-below-the-top-third = { $mark }: { $depth } de hondo, bajo el tercio de arriba de la losa: una reparación de profundidad completa por diseñar.
reinforcement-shows-loss-of-section = { $mark }: se ve el refuerzo. La pérdida de sección y la remoción alrededor de varillas las juzga un ingeniero.
of-is-hollow-or-broken-out-patches = { $bad } de { $net } está hueco o roto, con los parches a escuadra: comparar con una sobrecapa o un reemplazo antes de reparar.
an-old-layer-has-let-go = { $mark }: una capa vieja se soltó. Se quita hasta la losa de abajo, en toda su extensión; después la losa se sondea y prueba otra vez.
curled-edge-or-lost-support-patching = { $mark }: borde alabeado o apoyo perdido. Parchar no lo cura; primero hay que devolver el apoyo.
loose-deep-below-the-top-third = { $mark }: suelto { $depth } de hondo, bajo el tercio de arriba de la losa: una reparación de profundidad completa por diseñar.
depth-at-one-opened-spot = profundidad en un punto abierto{ $locate_first }
how-deep-is-loose = qué tan hondo está suelto { $mark }
what-the-hollow-sound = qué es el sonido hueco en { $mark }
which-taps-of-recording-are-hollow = cuáles golpes de la grabación { $name } son huecos
hollow-place-of-the-area-cut-out = { $count } { $count ->
    [one] lugar hueco
   *[other] lugares huecos
    }, { $area } ({ $net } % del área): cortar, parchar, curar, volver a sondear. Sin borde en cuña.
whether-is-hollow = si { $mark } está hueco
whether-the-other-of-the-area-sounds = si el otro { $covered } % del área suena hueco
a-panel-stands-off-its-neighbour-find = Un tablero está { $offset } desnivelado de su vecino: hallar primero la causa; una capa nueva no arregla el terreno.
a-lip-of-low-enough-to-grind = { $mark }: un escalón de { $offset }, bastante bajo para desbastarlo; mirar si todavía crece.
petrography-found-the-concrete = La petrografía halló el concreto deteriorándose desde adentro: ningún sistema adherido agarra en él. Referir o reemplazar.
pattern-cracking-but-petrography-found = Agrietamiento en patrón, pero la petrografía no halló deterioro desde adentro.
whether-the-concrete-deteriorates-from = si el concreto se deteriora desde adentro
a-core-from-the-worst = un núcleo de lo peor del patrón a un petrógrafo (ASTM C856)
pattern-cracking-with-moist-aggregate = Agrietamiento en patrón con agregado húmedo o depósito en las grietas: se sospecha deterioro desde adentro, y no se cotiza ningún sistema adherido sobre él. Referir o reemplazar; solo la petrografía podría mostrar otra cosa.
pattern-cracking-dry-and-without = Agrietamiento en patrón, seco y sin depósito: vigilarlo, y mostrarlo al dueño.
sweep-with-a-chain-outline = barrer con cadena, contornear con martillo, marcar con gis y copiar; no sobre concreto congelado
hammer-again-beside-known-good = golpear otra vez junto a concreto conocido como firme, o abrir un punto (después de una localización firmada)
the-whole-area-was-sounded-no-sure = Se sondeó toda el área; ningún lugar hueco seguro.
mark-a-few-taps-known = marcar en su lista unos golpes conocidos como firmes, o abrir un punto (después de una localización firmada)
open-one-spot-after-a-signed-locate = abrir un punto (después de una localización firmada), y anotar profundidad y clase
slab-thickness-from-drawings = espesor de la losa según planos o un núcleo autorizado
fill-it-with-a-polymer-mortar = rellenarlo con mortero polimérico, en la profundidad y tiempo de su propia ficha
square-it-up-cut-out-and-patch = ponerlo a escuadra, cortar y parchar
brush-it-out-and-look = cepillarlo y mirar
depth-gauge-at-three-places = medidor de profundidad en tres lugares
what-is-lost-shows-through-the-finish = lo perdido se ve a través del acabado, rellenado o no: acordarlo con el dueño, u otro sistema
remove-the-weak-layer-fill-what = quitar la capa débil, rellenar lo perdido, probar otra vez
remove-the-weak-layer-test-again = quitar la capa débil, probar otra vez
remove-to-sound-concrete-and-resurface = quitar hasta concreto firme y rehacer la superficie
remove-to-sound-concrete-the-overlay = quitar hasta concreto firme; la sobrecapa rellena lo perdido
remove-and-resurface-or-replace-show = quitar y rehacer la superficie, o reemplazar: mostrar los dos precios
joints-by-treatment = Por { $treatment }: { $lengths }.
whether-joints-work = si { $joints } todavía { $count ->
    [one] trabaja
   *[other] trabajan
    }
length-of-kind = { $length } { $kind }
whether-old-filler-sits = si hay relleno viejo en { $joints }
old-filler-comes-out-both-faces-bare = { $joints }: el relleno viejo sale, las dos caras limpias, antes de poner el nuevo.
the-patch-of-lies-across-the-joint = El parche de { $marks } cruza { $joints }: la junta se vuelve a formar a través de él, en su misma línea; ningún parche puentea una junta.
joint-decided = { $mark }, { $kind }: { $decided }.{ $follows }
it-what-cannot-move-with-it-breaks = {" "}{ CAP($known) }: lo que no puede moverse con ella se rompe, y el dueño firma eso primero.
as-decided = { $treatment }, como decidió { $by }: { $reason }
follows-crack = : { $follows }.
decided-crack = : { $decided }.{ $follows }
cracks-follow = { $what }{ $follows }
cracks-are = { $cracks }: { $count ->
    [one] grieta { $class }
   *[other] grietas ({ $class })
    }, { $width }, { $movement }
from-to = { $low } a { $high }
each-of-them = { $test }, en cada una
whether-cracks-move = si { $names } { $count ->
    [one] se mueve
   *[other] se mueven
    }
whether-water-comes-through = si pasa agua por { $names }
whether-one-side-of-stands-higher = si un lado de { $names } está más alto
straightedge-across = regla atravesada
a-look-after-rain-or-a-hose = una mirada después de lluvia o manguera
crack-gauge-read-on-two-days-warm = medidor de grietas leído en dos días, caliente y frío
one-side-stands-higher-find-the-cause = ; un lado está más alto: hallar primero la causa.
water-comes-through-stop-the-water = ; pasa agua: detener el agua antes de colocar nada.
show-it-on-the-sample-panel = {" "}Mostrarlo en el panel de muestra.
what-moves-or-what-the-finish-hides = {" "}Lo que se mueve, o lo que el acabado tapa, no se deja: se trata como si nadie hubiera decidido.
too-wide-and-restless-for-a-joint = demasiado ancha e inquieta para una junta: quitar y reemplazar esa parte, o un ingeniero
treat-as-a-joint-and-carry = tratarla como junta y llevarla hasta arriba del acabado
rout-and-fill-before-preparation = ranurar y rellenar antes de preparar
narrow-enough-for-the-system-show = bastante angosta para el sistema; mostrarla en el panel de muestra
may-still-work = puede que todavía trabaje
still-works = trabaja
a-look-and-a-knife-into = una mirada y un cuchillo en la junta; hasta entonces sacarlo está en el precio
gauge-across-it-on-two-days-warm = medidor atravesado en dos días, caliente y frío; hasta entonces se lleva hasta arriba
low-spot-of-in-all-about = { $count } { $count ->
    [one] punto bajo
   *[other] puntos bajos
    } de { $area } en total, cerca de { $volume } por rellenar; el desagüe queda como está.
how-high-of-the-area-lies = qué tan altos están { $without } del área que debe caer al desagüe
to-fall-to-the-drain = Para que caiga al desagüe se rellenan { $area } con { $volume }: ver si puertas, umbrales y el espesor pedido lo permiten.
scan-there-too-places-drawn-by-chance = escanear ahí también, lugares sorteados (x, y): { $places }
place-on-plan = { $x }, { $y }
why-hand-and-eye-say-and-scans = por qué la mano y el ojo dicen { $rated } y los escaneos { $levels }
in-scan-nine-chances-in-ten-each = { $levels } en { $count } { $count ->
    [one] escaneo
   *[other] escaneos
    } (nueve probabilidades de diez cada uno); { $range } es { $inside } % probable: { $follows }.
levels-from-to = CSP { $least }-{ $most }
the-profile-level-of-scan = el nivel de perfil del escaneo { $name }: { $why }
the-profile-level-of-scan-2 = el nivel de perfil del escaneo { $name }
by-rating = { $level } por { $count } { $count ->
    [one] calificación
   *[other] calificaciones
    } ({ $range } { $asked }): { $follows }.
mark-follows = { $mark }: { $follows }.
how-deep-is-weak = qué tan hondo es débil { $mark }
removed-to-sound-concrete-then-tested = { $mark }: { $state }, { $depth }: se quita hasta concreto firme, y se prueba otra vez.
weak-deep-no-surface-preparation = { $mark }: débil { $depth } de hondo: eso no es preparación de superficie; la remoción y reparación se diseñan.
dense-hard-trowelled-surface = { $mark }: superficie densa, alisada dura: la preparación debe abrirla.
salts-carried-out-by-water-brushing = { $mark }: sales que el agua sacó. Cepillarlas no detiene el agua: ver humedad.
rust-find-out-whether-it-was-left = { $mark }: óxido. Averiguar si lo dejaron sobre la losa o viene de acero dentro de ella{ $shows }.
whether-oil-comes-back-at-after = si vuelve aceite en { $mark } después de limpiar
how-deep-the-oil-at-has-gone = qué tan hondo entró el aceite en { $mark }
oil-cleaned-before-anything-abrasive = { $mark }: aceite, { $deep }: se limpia antes de que algo abrasivo lo meta más.{ $film }
so-deep = { $d } de hondo
sentence-of = { CAP($said) }.
what-film-is = qué es { $films }
acid-drops-beside-known-bare-concrete = gotas de ácido junto a concreto conocido como desnudo{ $consent }; neutralizar, enjuagar
yet-acid-fizzed-at-places-bare-but = { $lead }, pero el ácido burbujeó en { $strong } lugares: desnudo pero denso, alisado duro. La preparación debe abrirlo.
and-acid-drop-did-not-fizz-film = { $lead } y { $silent } { $silent ->
    [one] gota de ácido no burbujeó
   *[other] gotas de ácido no burbujearon
    }: película o sellador penetrante. Se quita primero.
of-water-drops-did-not-soak = { $beading } de { $count } gotas de agua no se absorbieron en { $within } s{ $where_ }
on-it-comes-off-before-the-profile = { CAP($kinds) } en { $area }: se quita antes de hacer el perfil.
a-film-was-measured-and-not-drawn = Se midió una película que no está dibujada: se toma como que cubre toda el área. Se quita antes de hacer el perfil.
water-drops-spread-over-the-area-timed = gotas de agua, repartidas en el área, cronometradas hasta que el concreto oscurezca
whether-the-surface-below-the-film = si la superficie bajo la película toma agua, una vez quitada
whether-a-film-keeps-water-out = si una película impide que entre el agua
why-water-soaks-in-and-acid-does = por qué el agua se absorbe y el ácido no burbujea
drop-acid-again-on-a-scratched-spot = gota de ácido otra vez en un punto rayado y en una astilla fresca: un penetrante deja entrar el agua; una superficie sin cal no es concreto desnudo
every-water-drop-darkened-the-concrete = Cada gota de agua oscureció el concreto a tiempo.
in-a-hidden-place-with-the-owner = {" "}en un lugar oculto, con el consentimiento del dueño
whether-a-film-or-a-dense-surface = si una película o una superficie densa impide que entre el agua
solvent-rub-knife-and-thickness = frote con solvente, cuchillo y espesor
softens-under-solvent-a-stripper-takes = se ablanda con solvente: un removedor la quita, una desbastadora puede embarrarla
solvent-does-nothing-cross-linked = el solvente no hace nada: reticulada o mineral, se quita con máquina
peels-in-strips-scrape-before-anything = se pela en tiras: raspar antes de cualquier abrasivo
chips-off-brittle-blasting-takes = salta en astillas: quebradiza, el chorro la quita
holds-to-the-slab-no-proof = agarra a la losa: no prueba que pueda quedarse
depth-not-known = profundidad no conocida
the-film-over-it-comes-off-first = {" "}La película encima se quita primero, sin abrir el concreto.
chip-or-core-after-a-signed-locate = astilla o núcleo después de una localización firmada; gotas en la cara fresca
look-and-water-drop-24-h-after = mirada y gota de agua 24 h después de una limpieza de prueba
oil-came-back-within-24-h = Volvió aceite dentro de 24 h de limpiar: lo que lo guarda se corta y se parcha.
oil-came-back-where-no-oil = Volvió aceite donde no hay aceite dibujado: primero se dibuja su lugar, para que se corte y se cotice.
scratch-and-knife-to-sound-concrete = rayar y cuchillo hasta concreto firme en tres lugares, medidor de profundidad
the-pull-off-strength-after-the-weak = la resistencia al arranque una vez quitada la capa débil
on-the-prepared-slab = en la losa preparada,{" "}
aggregate-shows-as-agreed = se ve agregado, como se acordó
aggregate-shows-already-more-than = ya se ve agregado, más de lo acordado, y ninguna preparación devuelve la crema: mostrarlo al dueño en el panel de muestra
aggregate-shows-loose-stones-come-off = se ve agregado: las piedras sueltas se quitan, y el perfil se lee también ahí
crazing-will-show-through-the-finish = las microfisuras se verán a través del acabado: mostrarlo al dueño en el panel de muestra
crazing-which-a-thin-film-follows = microfisuras, que una película delgada copia: la preparación las abre, y el panel de muestra las enseña
crazing-which-this-thickness-covers = microfisuras, que este espesor cubre
the-profile-that-the-data-sheet-asks = el perfil que pide la ficha técnica
read-the-system-sheet-the-guide-range = leer la ficha del sistema; hasta entonces no se planea ningún perfil
the-profile = el perfil como está
chip-ratings-at-three-places-by-two = calificaciones con plaquetas en tres lugares por dos personas, una después de la otra sin decirse
why-the-chip-ratings-lie-so-far = por qué las calificaciones están tan lejos entre sí
rate-again-together-or-divide-the-area = calificar otra vez juntos, o dividir el área
asked-for = pedido
the-guide-range = rango de la guía
it-fits-and-is-opened = queda bien, y de todos modos se abre con herramienta
it-fits = queda bien
smoother-the-preparation-must-roughen = más liso: la preparación debe hacerlo áspero
rougher-it-shows-through-or-takes-more = más áspero: se trasluce o pide más material; desbastar, rellenar, o un sistema más grueso
rougher-ask-the-data-sheet-before = más áspero: preguntar a la ficha técnica antes de desbastar nada
scan-your-own-comparator-chips = escanear las plaquetas propias con el mismo aparato, tres colocaciones cada una
scan-again-with-a-finer-device = escanear otra vez con un aparato más fino, o calificar a mano y ojo
likely-as-asked = probablemente como se pide
likely-smoother-the-preparation-must = probablemente más liso: la preparación debe hacerlo áspero
not-surely-as-asked-for-hand = no seguro como se pide: deciden la mano y el ojo
rate-again-blind-at-the-scanned-places = calificar otra vez sin decirse en los lugares escaneados, y escanear otra vez una plaqueta con el aparato
the-mean-texture-of-the-area = la textura media del área a un cuarto, nueve veces de diez
heights-along-the-walls = alturas junto a los muros y también en las esquinas; hasta entonces ahí no se rellena nada
pull-off-tests = pruebas de arranque { $on }{ $places }{ $locate_first }
lowest-of-results-at-least-asked = Menor de { $count } resultados { $lowest }, { $mean }; se pide al menos { $least }: { $follows }.
mean-of = promedio { $mean }
the-pull-off-strength-of-the-slab = la resistencia al arranque de la losa{ $again }
pulled-the-glue-not-the-slab = {" "}({ $count } despegaron el pegamento, no la losa)
chloride-up-to-by-mass-of-cement = Cloruro hasta { $highest } por masa de cemento: { $follows }.
carbonated-to-compare-with-the-cover = Carbonatado hasta { $deepest }: comparar con el recubrimiento de las varillas según la localización; acero dentro de eso va con un ingeniero. Ahí un tinte reactivo halla poca cal.
scratch-hardness-on-the-mohs-scale = Dureza al rayado { $level } en la escala de Mohs: { $advice }.
in-places-elsewhere-uneven-scratches = { $low } en unos lugares, { $high } en otros; siguen rayas disparejas
hard-bond-coarse-grit-soft-abrasive = liga dura, grano grueso: concreto blando, abrasivo
medium-bond = liga media
soft-bond-hard-concrete-glazes-a-hard = liga blanda: el concreto duro vidria una dura
whether-bars-lie-within-the-carbonated = si hay varillas dentro de la profundidad carbonatada
cover-of-the-bars-from-the-signed = recubrimiento de las varillas según la localización firmada, junto a la rotura fresca
steel-in-reach-of-it-corrodes = el acero a su alcance se corroe, y primero alrededor de cada parche nuevo: decide un ingeniero
not-above-the-limit = no sobre el límite
the-pull-off-strength-that-the-system = la resistencia al arranque que pide el sistema
read-the-system-data-sheet = leer la ficha técnica del sistema
failure-modes-differ-so-no-mean = los modos de falla difieren, así que no hay promedio
the-surface-is-weak-remove-more-test = la superficie es débil: quitar más, probar otra vez
an-old-layer-lets-go-below = una capa vieja se suelta bajo el límite: quitarla, probar la losa
the-mean-reaches = el promedio llega
every-result-reaches = cada resultado llega
in-hidden-or-later-covered-places = en lugares ocultos o que después se cubren, con el consentimiento del dueño, anotado que no fueron sorteados
at-random-places = en lugares al azar
ph-readings-within = { $count } lecturas de pH dentro de { $ph } a { $ph_2 }.
of-ph-readings-lie-outside-to-rinse = { $count } de { $count_2 } lecturas de pH fuera de { $ph } a { $ph_2 }: enjuagar, y leer otra vez.
highest-of-readings-limit = Mayor de { $count } lecturas { $worst }, límite { $limit }.
highest-reading-limit-wait-mitigate = Lectura mayor { $worst }, límite { $limit }: esperar, mitigar, escoger un sistema que respira, o no hacerla.{ $drying }
moisture-test-where = { $how }{ $consent }{ $locate_first }
in-slab-humidity-probes-or-emission = sondas de humedad dentro de la losa o platos de emisión{ $locate_first }
the-moisture-limit-of-the-system = el límite de humedad del sistema
read-the-system-data-sheet-many = leer la ficha técnica del sistema; muchos acabados que respiran no tienen
in-slab-humidity-probes-at-40 = sondas de humedad dentro de la losa al 40 % de la profundidad (20 % donde seca por los dos lados), después de 24 h en el hoyo
moisture-emission-dishes-for-60-to-72 = platos de emisión de humedad por 60 a 72 h sobre concreto desbastado a desnudo un día antes
a-taped-sheet-came-up-damp-measure = Una lámina pegada salió húmeda: medir antes de colocar nada.
how-wet-the-slab-is-since = qué tan mojada está la losa, porque una lámina pegada salió húmeda
in-hidden-places-with-the-owner = , en lugares ocultos con el consentimiento del dueño
how-wet-the-slab = qué tan mojada está la losa
no-drying-date-can-be-given = {" "}No se puede dar fecha de secado: la barrera de vapor de abajo falta, falló o no se conoce, así que el agua sigue llegando.
whether-the-finish-takes-where-took = si el acabado toma donde { $mark } no tomó nada
gave-here-asked-for-is-the-plan = { $method } dio { $profile } aquí, se pide { $range }: el plan cuenta con lo que da, y lo que se planea en su lugar necesita un panel propio.
gave-here-as-asked = { $method } dio { $profile } aquí, como se pide.
panel-shows = { $mark }: { $what }
how-looks = cómo se ve { $mark } { $missing }
sample-panel-approved = { $mark }: panel de muestra aprobado por { $signer }.
water-drops-took-from-to-s = Las gotas de agua tardaron de { $quickest } a { $slowest } s: el tinte va a tomar disparejo. Mostrarlo al dueño en el panel de muestra, en lugares claros y oscuros.
which-class-a-of-belongs = a qué clase pertenece { $class } de { $thickness }: los espesores de la guía dicen { $classes }
change-order = Orden de cambio { $order }: { $found }, { $amount }; { $follows }.
signed-by = firmado por { $signer }
test-left-a-mark-and-no-consent = { $count ->
    [one] 1 prueba dejó marca
   *[other] { $count } pruebas dejaron marca
    } y no hay consentimiento del dueño anotado.
test-left-a-mark-before-the-owner = { $count ->
    [one] 1 prueba dejó marca
   *[other] { $count } pruebas dejaron marca
    } antes del consentimiento del dueño: decírselo.
agreed-exposure-no-work-on-the-surface = Exposición acordada: { $agreed }. Ningún trabajo en la superficie la pasa; un parche o una grieta ranurada se ve.
will-show-through-the-finish-show = { $mark }: { $what } se verá a través del acabado. { $cure } Probarla en el panel de muestra y mostrar al dueño lo que queda.
patches-will-show-through-the-finish = Los parches se verán como parches a través del acabado: el dueño decide antes de hacerlos.
how-far-aggregate-and-scratch-pattern = hasta dónde se pueden ver agregado y rayas
agree-it-with-the-owner = acordarlo con el dueño en un panel de muestra
the-owner-consent-to-tests-that-leave = el consentimiento del dueño para pruebas que dejan marca
signed-consent-that-names-the-places = consentimiento firmado que nombra los lugares
not-signed-the-work-goes-on-elsewhere = sin firma: el trabajo sigue en otra parte, y nada lo cubre hasta que la tenga
not-signed-the-work-stops-there = sin firma: ahí se detiene el trabajo
ask-the-data-sheet-for-thickness = preguntar a la ficha técnica por espesor y perfil
a-sample-panel-on-this-slab = un panel de muestra en esta losa
approval-of-the-sample-panel = la aprobación del panel de muestra
prepare-finish-and-bond-test-a-panel = preparar, acabar y probar la adherencia de un panel; fotografías mojado, seco y sellado; firmado por una persona con autoridad
photographs-of-the-panel-the-light = fotografías del panel, con la luz anotada junto a cada una
the-finish-took-evenly = el acabado tomó parejo.
the-finish-took-unevenly-the-owner = el acabado tomó disparejo: el dueño decide si puede verse así antes del trabajo completo.
the-finish-did-not-take-the-surface = el acabado no tomó: la superficie está cerrada ahí, y la preparación debe abrirla.
another-panel-prepared-another-way = otro panel, preparado de otra manera, dejado secar y acabado
on-no-system-goes-down-in-such = El { $when }: { $against }. Ningún sistema se coloca en una hora así.
on-the-surface-stood-above-dew-point = El { $when } la superficie estaba { $margin } sobre el punto de rocío.
air-at-at-most-asked = aire a { $share }, se pide a lo más { $most }
surface-at-to-asked = superficie a { $surface_c }, se pide { $low } a { $high }
only-above-dew-point-at-least-asked = solo { $margin } sobre el punto de rocío, se pide al menos { $sheet }
air-humidity-and-surface-temperature = temperatura del aire, humedad y superficie donde se hace el trabajo
air-thermometer-hygrometer-and-surface = termómetro de aire, higrómetro y termómetro de superficie a la misma hora; otra vez cada día de trabajo
the-climate-on-the-day-of-work = el clima el día del trabajo
dew-point-and-surface-temperature = punto de rocío y temperatura de la superficie antes y durante el trabajo
whether-it-is-right = si { $readings } es correcto ({ $kind }): lo usual es { $low } a { $high }{ $slip }
mark-and-value = { $mark } { $value }
are-easily-mixed-up = ; { $slip } se confunden fácilmente
look-at-the-instrument-and-the-note = mirar otra vez el instrumento y la nota; corregirlo, o confirmarlo con nombre y fecha; hasta entonces no cuenta
ask-those-who-wrote-it-measure-again = preguntar a quienes lo escribieron, medir otra vez, y acordarlo en el registro ({ $versions })
which-version-of-is-right-people-say = cuál versión de { $about } es la correcta: se dicen cosas distintas
seconds-and-minutes = segundos y minutos
mpa-and-psi = MPa y psi
a-share-of-1-and-per-cent = una fracción de 1 y por ciento
inches-and-millimetres = pulgadas y milímetros
mils-and-millimetres = mils y milímetros
by-cement-and-by-concrete = por cemento y por concreto
inches-and-feet = pulgadas y pies
fahrenheit-and-celsius = °F y °C
panel-dry = seco
panel-wet = mojado
panel-sealed = sellado
it-will-show-through-the-finish = ; se verá a través del acabado
after-a-signed-locate = , después de una localización firmada
taken-away-and-cleared = Retirado por { $firm } (licencia { $licence }), liberado por { $by } el { $on }.{ $remover }
remover-may-have-left = {" "}Su removedor ({ $remover }) puede haber dejado algo sobre lo que nada adhiere: enjuagar como dice su ficha, gotas de agua ahí antes de colocar nada.
samples-of-each = { $samples }, de cada uno: { $marks }
whether-polarised-light-saw-all = si la luz polarizada vio todo en { $marks }: las fibras en el adhesivo de piso pueden ser demasiado finas para ella (New York ELAP 198.1 y consejo de la EPA, de memoria)
one-sample-by-electron-microscope = una de las muestras limpias con microscopio electrónico (TEM)
whether-asbestos-commercial = si algo aquí contiene asbesto: un edificio que no es una casa pequeña se inspecciona antes del trabajo, sea del año que sea (40 CFR 61.145, de memoria)
inspection-by-an-accredited-inspector = inspección por un inspector acreditado, por escrito
the-day-the-slab-was-cast = el día en que se coló la losa
delivery-notes-of-the-concrete = remisiones del concreto, o la bitácora del contratista general
concrete-is-too-young = Colado el { $cast }: { $old } { $old ->
    [one] día
   *[other] días
    } de edad el { $day }; se piden { $least }. Esperar hasta el { $ready }, o usar un sistema cuya ficha acepte concreto más joven. La edad no es sequedad: la humedad se mide igual.
old-enough-go-on-younger-wait = con edad: adelante; más joven: esperar, o un sistema para concreto joven
pattern-cracking-in-a-wet-slab = Agrietamiento en patrón en una losa que está húmeda o se congela mojada: si falla por dentro lo dice la petrografía, no el ojo; el trabajo adherido espera.
so-many-days = { $days } { $days ->
    [one] día
   *[other] días
    }
decided-by = { $by } el { $on }: { $reason }{ $reference }
decided-on = {" "}({ $reference })
moisture-mitigated = Decidido por { $who }. Una capa bajo el sistema detiene el agua: colocada con el perfil y el límite de su propia ficha, que valen por los del sistema.
moisture-not-mitigated = Decidido por { $who }. Ninguna capa puede cumplirlo: se vería a través de este acabado, o el catálogo no tiene ninguna. Esperar, un sistema que respira, o dejarlo.
moisture-waited-for = Decidido por { $who }. Nada se coloca hasta que esté bastante seca: leer otra vez antes.
moisture-no-limit = Decidido por { $who }. El fabricante no pone límite de humedad.
the-moisture-limit-of-the-coat = hasta qué humedad se puede colocar la capa bajo el sistema
read-the-sheet-of-the-coat = leer la ficha técnica de la capa y ponerlo en methods.toml (most_in_slab_humidity)
asked-for-with-the-lot = se pide con el lote, en { $zone }
cast-after-the-newest-reading = el día en que se coló la losa: { $cast } es posterior a la lectura más nueva
what-a-decision-lifts = qué levanta { $by }: aquí nada se llama { $finding }{ $mark }, o hace falta una licencia; no cambia nada
name-the-finding-and-its-mark = nombrar el hallazgo y la marca como los nombra tooth assess, y la licencia donde se pide un ingeniero
moisture-limit-is-named = Decidido por { $who }, que el fabricante no pone límite; la ficha en systems.toml nombra uno. Una de las dos está mal.
what-the-laboratory-could-not-tell = qué contienen { $samples }, de lo que el laboratorio no pudo decir
another-sample-of-the-same-place = otra muestra del mismo lugar
a-drop-of-the-stain-itself = una gota del mismo tinte, húmeda todo su tiempo, en lugares escondidos
a-drop-of-the-stain-itself-with-consent = una gota del mismo tinte, húmeda todo su tiempo, en lugares escondidos, con permiso del dueño
a-stain-or-acid-drop-on-bare = una gota del tinte o de ácido diluido en lugares desnudos; donde haya algo encima, en un lugar descubierto
a-stain-or-acid-drop-on-bare-with-consent = una gota del tinte o de ácido diluido en lugares desnudos y escondidos, con permiso del dueño; donde haya algo encima, en un lugar descubierto
aggregate-shows-and-stays = el agregado es la textura que se queda.
carbonated-deeper-than-the-cut = La carbonatación llega a { $depth }, más hondo que lo que aquí se quita: el ácido puede burbujear y un tinte reactivo puede no encontrar cal. Poner una gota del mismo tinte en un lugar escondido.
no-lime-answered = En { $silent } de { $count } gotas la cal no respondió: un tinte reactivo no toma allí.{ $tried } Todavía se puede: un colorante o tinte a base de agua, o abrir la superficie con almohadillas o desbaste dentro de lo acordado y un panel nuevo.
lime-answered = La cal respondió en cada lugar probado: un tinte reactivo puede tomar.
lime-leads-to = responde: el tinte puede tomar; no responde: colorante, tinte a base de agua, o abrir y otro panel
washed-with-acid-before = { $marks }: lavado con ácido antes; la cal cerca de la superficie puede estar gastada y quedar residuo. Enjuagar, medir el pH y poner una gota del mismo tinte.
whether-lime-is-within-reach = si la cal está al alcance del tinte
film-is-recoated-over = { $mark } se queda, como decidió { $by }: está firme. Se limpia, se lija suave y se recubre.
film-is-rewetted = { $mark } se queda, como decidió { $by }: está firme y su solvente la ablanda. Se limpia, se moja con solvente hasta que corra, y se recubre.
kept-film-does-not-soften = { $mark } se iba a mojar con solvente ({ $by }), y su solvente no le hace nada: ya no es, o nunca fue, de esa química. En su lugar se planea y se cotiza lijarla con malla hasta quitarle el brillo y recubrirla. Decidirlo, con la ficha de la nueva capa y una prueba cortada con cuchillo; si no, se quita.
kept-film-lets-go = { $mark } se iba a quedar ({ $by }), y se despega: lo que se ponga encima se despega con ella. Su precio incluye quitarla.
kept-film-leads-to = está firme: se limpia y se recubre; se despega: se quita primero
whether-the-film-holds = si { $mark }, que se queda, está firme
knife-at-three-places = cuchillo en tres lugares, uno donde esté gastada
knife-and-rag-with-its-solvent = cuchillo en tres lugares, y un trapo con su propio solvente por un minuto
water-and-salts-come-first = { $mark } se iba a quedar ({ $by }), sobre agua o sales: recubierta las encierra y se pone blanca o se despega. Hallar el agua, quitar las sales, dejar secar y comprobarlo, y luego decidir.
texture-stays = Se queda: { $texture }. Solo se usa lo que limpia, ablanda y levanta, y las placas de comparación no califican nada aquí.
texture-stays-against-the-sheet = Se queda: { $texture }, y { $asks }: no se puede tener ambas cosas. Pedirlo por escrito al fabricante, o escoger un sistema que vaya así.
the-sheet-asks-a-profile = la hoja pide { $range }
the-sheet-asks-a-tool = la hoja pide una superficie abierta con herramienta
weak-and-the-texture-stays = { $marks }: débil donde la textura se queda. No sale sin la textura: se deja y se muestra, se endurece a prueba, o allí se pierde la textura.
read-the-system-sheet-it-may-ask-none = leer la hoja del sistema: lo que penetra muchas veces no pide ninguno, y nada se raspa por un rango de memoria
the-edge-of-what-is-stripped-shows = { $marks } se quita en { $area } del área: el borde contra los otros { $rest } se verá a través del acabado. Trabajar de pared a pared (el plan dice cuánto cuesta), parar en una junta, o que el dueño firme el borde en el panel de muestra.
ghost-and-what-of-it = { $kind } ({ $of })
cure-of-glue-rows = Cura usual: removedor o cataplasma, luego almohadillas; la sombra queda en los poros.
cure-of-a-tile-pattern = Cura usual: almohadillas o un corte ligero y parejo de pared a pared dentro de lo acordado; muchas veces se queda.
cure-of-carpet-lines = Cura usual: raspar, rellenar los agujeros, lavar; la línea queda más clara.
cure-of-an-old-patch = Sin cura: un parche absorbe y toma color a su manera. Mostrarlo, enmarcarlo con un corte, o cubrir el piso.
cure-of-a-strip-edge = Cura usual: quitar hasta una pared o una junta.
cure-of-chalk = Cura usual: cepillar en seco, luego jabón; la tiza roja se queda. Usar azul o blanca.
cure-of-marker = Cura usual: cataplasma con su solvente, a prueba; puede quedar una sombra.
cure-of-paint-spots = Cura usual: raspar, luego removedor en la mancha, enjuagado; la mancha puede absorber distinto.
cure-of-tyre-marks = Cura usual: jabón o removedor de marcas de llanta y almohadillas; el plastificante que entró puede quedarse.
cure-by-trial = Buscar la cura a prueba en un lugar escondido.
small-damage = { $mark }: { $count } × { $kind }, se reparan uno por uno a mano; nada se corta.{ $shows }
each-shows-through-the-finish = {" "}Cada uno se verá a través del acabado: mostrarlo en el panel de muestra.
highest-reading-limit-waits = Lectura más alta { $worst }, límite { $limit }: se espera, como se decidió.
how-wet-the-slab-is-once-it-has-waited = qué tan húmeda está la losa después de esperar
when-it-was-decided = cuándo decidió { $by } sobre { $mark }: una decisión sin fecha no cambia nada
write-the-day-beside-the-decision = anotar la fecha junto a la decisión
whether-the-slab-freezes-wet = si la losa se congela estando mojada
ask-the-owner-and-the-climate = preguntar al dueño y ver el clima del lugar
on-so-much-of-the-area = {" "}(lo más cercano a ellas: { $area } de { $net })
film-is-to-stay = { $mark } se va a quedar, como decidió { $by }; nadie la ha cortado ni frotado todavía.
stain-drops-came-out-unevenly = Las gotas de tinte salieron disparejas: mostrarlas al dueño en el panel de muestra, los lugares claros y los oscuros.
drop-the-stain-before-it-is-given-up = {" "}Probar una gota del mismo tinte antes de renunciar.
whether-any-of-the-area-sounds-hollow = si alguna parte del área suena hueca
which-decision-counts = cuál decisión vale: { $one }, o { $other }
ask-who-decided-and-strike-one = preguntar a quien decidió, y tachar una de las dos; hasta entonces ninguna es segura
kept-film-lets-go-in-part = { $mark } se iba a quedar ({ $by }). En unos cortes se despega y en otros está firme: se quitan { $area }, lo más cercano a los cortes que fallaron; { $rest } se quedan.
kept-film-lets-go-somewhere = { $mark } se va a quedar, como decidió { $by }. En un corte se despegó y en más estuvo firme, y nadie anotó dónde: se cotiza como firme.
how-far-the-film-has-let-go = hasta dónde se ha despegado { $mark }
where-the-film-has-let-go = dónde se ha despegado { $mark }
cut-round-it-until-it-holds = cortar otra vez en esa esquina y alrededor hasta que esté firme, y anotar dónde está cada corte
smoother-ask-the-data-sheet-before = más liso: preguntar a la ficha antes de raspar
salts-are-looked-at-again = { $mark }: nada se cierra encima hasta que alguien haya vuelto a mirar una semana de días secos después de quitar las sales, no haya hallado más, y lo firme con nombre y fecha. Un acabado sobre sales se pone blanco y se despega.
how-much-water-brings-the-salts = cuánta agua sube donde hay sales ({ $mark })
sheets-or-probes-where-salts-lie = láminas pegadas toda la noche o sondas, una de ellas donde estaban las sales{ $locate_first }
salts-lead-to = seco: se quitan las sales y se vuelve a mirar; húmedo: primero el agua, o un acabado que la deje pasar
rust-left-on = { $mark }: óxido que dejaron sobre la losa. Un removedor lo quita del concreto desnudo, primero en un punto de prueba{ $shows }.
rust-from-within = { $mark }: óxido que sale de la losa. Un removedor quita la mancha y no la causa, y vuelve: abrir hasta el acero, tratarlo o cortarlo y parchar; o el dueño firma que se queda. No se cotiza ningún removedor.
rust-on-a-film-that-stays = { $mark } está donde la película se queda: un removedor de óxido la blanquea o la ablanda. Ahí no se usa. O la película se quita ahí, o alguien firma que la mancha se queda bajo la capa nueva.
where-the-rust-comes-from = de dónde viene el óxido en { $mark }
look-for-what-stood-there-and-for-steel = buscar qué estuvo ahí o qué se regó, y pasar un medidor de recubrimiento o un imán; escribir rust_left_on o rust_from_within
rust-leads-to = dejado encima: removedor sobre concreto desnudo; de adentro: abrir hasta el acero, o se firma que se queda
routed-crack-will-show = { $marks } se abre y se rellena o se sella: una línea de media pulgada de ancho que se ve a través del acabado y se lleva las piedras donde hay agregado expuesto. Mostrarla en el panel de muestra y que el dueño la firme; si no, se deja como grieta a la vista, por una decisión con nombre y fecha.
evenness-leads-to = pareja: nada que firmar; despareja: se muestra en el panel de muestra y se firma
no-finding-rests-on-these = Se leyó aquí, y ningún hallazgo se apoya en ello: { $kinds }. Otra lectura del tipo vale por ella, se tomó sobre una marca, son muy pocas, o nada aquí pide ese tipo.
reading-of-kind = { $count } × { $kind }
