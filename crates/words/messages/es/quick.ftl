SurfaceNow =
    .bare_broomed = desnuda, escobillada
    .bare_trowelled = desnuda, alisada a llana
    .sealed = sellada
    .painted_or_coated = pintada o recubierta
    .glue_or_tile_residue = restos de pegamento o de loseta
    .exposed_aggregate_sealed = agregado expuesto, sellado
    .stamped_sealed = estampada, sellada
    .unknown = no se sabe

FinishWanted =
    .clear_sealer = sellador transparente
    .stain_and_sealer = tinte y sellador
    .dye_and_sealer = colorante y sellador
    .recoat_same_sealer = otra mano del mismo sellador
    .thin_coating = recubrimiento delgado
    .high_build_coating = recubrimiento grueso
    .self_levelling = capa autonivelante
    .microtopping = microcemento o sobrecapa delgada

CracksSeen =
    .none = ninguna
    .few = pocas
    .some = algunas
    .many = muchas

FilmBuild =
    .one_or_two_coats = una o dos manos
    .many_coats = muchas manos

OpenQuestion =
    .surface = qué es la superficie
    .build = cuánta película hay
    .drinks = si absorbe
    .holds = si el sellador viejo agarra
    .exposure = cuánta arena puede verse
    .cracks = grietas
    .hollow = lugares huecos
    .oil = aceite
    .dust = polvo
    .water = agua
    .thirst = cuánto absorbe del acabado

quick-said = Como se dijo en la primera mirada, dibujado en todo o repartido por igual: dibújelo donde está.
quick-taken = Supuesto, nadie lo ha dicho: dibuje lo que hay, o quítelo.

quick-recoat-wants-a-sealer = una superficie sellada (sealed, exposed_aggregate_sealed, stamped_sealed o unknown): lo desnudo, pintado o con pegamento no tiene sellador sobre el que dar otra mano

quick-if-it-is = es: { $now }
quick-if-many-coats = hay muchas manos, no una o dos
quick-if-thin-coats = la pintura es delgada: una o dos manos
quick-if-it-drinks = el concreto desnudo absorbe agua: limpiar, no abrir
quick-if-it-does-not-hold = el sellador viejo no agarra: se quita
quick-if-some-cracks = una grieta que reparar en casi cada paño
quick-if-many-cracks = varias grietas en cada paño
quick-if-hollow = una parte suena a hueco
quick-if-oil = el aceite penetró, en manchas
quick-if-no-dust = no se permite polvo
quick-if-no-water = no se permite agua
quick-if-thirsty = absorbe 40 % más del acabado

quick-settle-surface = gota de agua, trapo con solvente, cuchillo
quick-settle-build = cuchillo hasta el concreto, medidor de película
quick-settle-drinks = gotas de agua en tres lugares, con reloj
quick-settle-holds = trapo con su solvente, corte en cruz y cinta
quick-settle-cracks = recorrerla, moneda y medidor
quick-settle-hollow = cadena o martillo
quick-settle-oil = mirar, gota de agua, cuchillo en la mancha
quick-settle-dust = preguntar
quick-settle-water = preguntar; ¿por dónde desagua?
quick-settle-thirst = panel de muestra, medido

quick-walk-on = { $time } después de la última mano, como se dijo{ $wait }
quick-walk-on-by-its-sheet = preparada al final del día { $days }; después, según la ficha técnica del acabado{ $wait }
quick-longest-wait = ; la espera más larga entre pasos { $time }

quick-not-the-finish = EL ACABADO MISMO: su material y su colocación
quick-not-damp = lo que pida la humedad: primero se mide
quick-not-joints = las juntas: quedan como están

quick-taken-rates = las tarifas y el mínimo son supuestos, no los de su empresa
quick-taken-surface = la superficie es: { $now }, lo intermedio de lo que puede ser
quick-taken-shape = { $length } por { $width }
quick-taken-walls-indoors = paredes en los cuatro lados
quick-taken-wall-outdoors = una pared en un lado corto
quick-taken-absent = nada de: { $what }
quick-cracks = grietas que reparar
quick-hollow-places = lugares huecos
quick-oil = aceite
quick-taken-holds = el sellador viejo agarra y es de la misma clase
quick-taken-exposure = puede verse arena fina: acuérdelo con el dueño; si no, aquí no hay modo de prepararla
quick-taken-no-sheet = sin ficha técnica a mano, pídala: ningún límite de ella está puesto

quick-if-sand-may-show = el dueño acepta que se vea arena fina
quick-settle-exposure = preguntar, sobre un panel de muestra
quick-taken-setting = { $setting }, como suele estar una superficie así

quick-name-not-said = aún no se ha dicho
quick-name-of-job = Losa: { $wanted }
quick-name-of-area = Losa ({ $now })
quick-no-sheet = sin ficha técnica a mano: pídala; nada de aquí está publicado

quick-it-holds-said = como se dijo en la primera mirada
quick-decided-by-nobody = nadie todavía
quick-it-holds-taken = supuesto en la primera mirada: el trapo y la cinta aún no lo han dicho

quick-heading = { $area }, { $setting }: { $now } → { $wanted }
quick-price = Precio
quick-range = { $low }  –  { $likely }  –  { $high }
quick-range-is = bajo, probable, elevado
quick-least-rules = Manda su mínimo de { $least }.
quick-no-price = ninguno: { $why }
quick-days = Días
quick-days-there = { $likely ->
    [one] 1 día
   *[other] { $likely } días
    } en el sitio con { $crew } (hasta { $most }), { $hours } en total
quick-walk = Pisar
quick-in-it = Incluye
quick-not-in-it = No incluye
quick-and-more-of-it = y { $count } más
quick-changes = Podría cambiarlo
quick-change = { $what } ({ $chance }): { $settled }
quick-no-way = no hay modo:
quick-changes-less = Menos, o nada: { $what }.
quick-look = Mire ahora
quick-look-at = { $what }: { $test }
quick-look-more = { $count } preguntas más: tooth new, luego tooth assess.
quick-taken-for = Supuesto
quick-verdict = Hasta ahora
quick-verdict-is = { $recommendation }. Las probabilidades son supuestas; una mirada a la losa vale más.

quick-a-size = un rectángulo que sea una losa
quick-no-slab = un tamaño que no hace ninguna

quick-a-container = un envase de 0.01 L o más
quick-an-amount-like = un monto como 45{ $code }{ $per }
quick-what-a-coat-covers = lo que cubre una mano, como 250ft2/gal o 6m2/L
quick-size-like = largo por ancho, o un área, con su unidad: 20ftx30ft, 600ft2
quick-currency-like = tres mayúsculas, como USD
quick-currency-of-the-firm = { $code }, como la tiene --firm

begun-heading = { $folder } está empezada
begun-next = Después: tooth check, y tooth assess, que dice qué mirar primero. El precio es el del caso probable.
begun-nothing-there = una carpeta que aún no existe: no se escribe sobre nada

field-one-of = { $what }: { $keys }

field-job-head =
    El trabajo: qué y dónde, la losa, lo que el sitio permite, lo que cobra la empresa.
    Una cantidad se escribe con su unidad: "6 in", "150 mm", "62 USD/h". "unknown" es una respuesta honrada: pide una prueba.
    Empezado con una primera mirada; las líneas con # no valen todavía. tooth check dice qué está mal, tooth assess qué falta.
field-schema = versión de la forma de esta carpeta
field-name = nombre del trabajo
field-contractor = la empresa que prepara la losa
field-units = lo que se lee primero: us o si
field-language = de los papeles
field-crew-language = de las tarjetas de pasos, si es otro
field-currency = tres mayúsculas; todos los montos están en ella
field-patch-rule = cómo se escuadran los parches
field-machines-owned = máquinas propias: no se rentan
field-client-name = para quién es
field-site = dónde está la losa
field-setting = bajo techo o a la intemperie
field-thickness = de la losa, si se sabe
field-year-cast = año de la losa
field-support = qué la sostiene
field-post-tensioned = tendones tensados en ella
field-vapour-retarder = debajo de una losa sobre terreno
field-freeze-thaw = si se congela mojada
field-past-damage = fuego, sobrecarga, golpe
field-embedded-items = tubos de calefacción, ductos
field-building = como preguntan las reglas de asbesto
field-oldest-coating-year = la película más vieja, lo más temprano
field-dust = lo que el sitio soporta
field-water = si se puede usar agua
field-engines-indoors = si pueden andar motores bajo techo
field-loud-work = si se permite trabajo ruidoso
field-power = corriente junto a la losa
field-door-width = la entrada más angosta
field-slope = la mayor, si no es plana
field-labour = una persona por hora, con cargas
field-disposal = desecho sólido, retirado
field-liquid-disposal = desecho líquido y lodo, retirado
field-trip = cuadrilla y camioneta, ida y vuelta
field-working-day = horas de un día
field-crew = personas que vienen juntas
field-overhead = sobre el costo directo
field-margin = del precio
field-least-for-a-job = ningún trabajo por menos
field-least-for-a-trip = ningún viaje por menos
field-growth-median = daño oculto: hallado / marcado, lo medio
field-growth-sigma = y cuánto varía (de su logaritmo)
field-growth-correlation = cuánto van juntas las áreas en eso, 0 a 1
field-pace-correlation = cuánto van juntos los ritmos, 0 a 1
field-material-price-sigma = cuánto varían los precios de material
field-memory-sigma = cuánto puede diferir de ritmos de memoria
field-rework-chance = probabilidad de rehacer parte de un perfil
field-rework-share = y cuánto de él
field-site-item = lo que pide el sitio o el acabado
field-site-item-zone = en qué área; si no, todo el trabajo
field-pieces = cuántas
field-piece-price = de una
field-item-area = cuánta
field-area-price = de una unidad
field-item-length = cuánto
field-length-price = de una unidad
field-item-volume = cuánto
field-volume-price = de una unidad
field-item-hours = horas de cuadrilla que toma
field-film-decision-zone = en qué área
field-film-way = qué pasa con la película vieja
field-decided-by = quién decidió
field-decided-on = cuándo
field-decided-reason = la misma química, y cómo se sabe
field-job-more =
    Más tablas cuando hagan falta: [[locate]] y [[consent]] (`signed_by` o `given_by`, `date`, `zones`), [[overrule]], el
    tratamiento de una grieta [[treatment]], [[change_order]], [[prepared]], [[moisture_decision]], [[abatement]], y
    también [limits], [chances], [test_costs], [weights], [acceptance]. Un nombre que Tooth no conoce se rechaza con su línea.

field-systems-head =
    Lo que va sobre la losa. Copie los límites de su ficha técnica: aquí no hay ninguna a mano, así que ninguno está
    puesto y se pide cada uno que falta. Quite el # y ponga la cifra de la ficha.
field-system-id = el plano lo nombra
field-system-name = como lo llama la gente
field-class = por espesor; un tinte es una clase aparte
field-sheet = qué ficha técnica, y su fecha
field-see-through = si se ve el concreto
field-system-thickness = colocado; usual, de memoria: pregunte a la ficha
field-from = desde dónde cuenta
field-needs-lime = si reacciona con la cal del concreto
field-acid-etch = si la ficha permite grabar con ácido
field-agreed-exposure = cuánto agregado puede verse, acordado con el dueño
field-profile = rango de la ficha; este es de la guía, de memoria
field-mechanical = si pide herramienta, cualquiera que sea el perfil
field-absorbs-within = una gota de agua penetra en
field-pull-off = resistencia mínima de la losa preparada
field-humidity = humedad relativa máxima en la losa
field-emission = emisión máxima de humedad
field-ph = de la superficie, mínimo y máximo
field-surface-temperature = mínima y máxima
field-dew-point-margin = superficie sobre el punto de rocío en
field-air-humidity = humedad relativa máxima del aire
field-dry-before = sin lluvia antes durante
field-dry-after = y sin lluvia después durante
field-least-window = buen tiempo seguido
field-widest-crack = que cubre por sí mismo
field-least-age = del concreto

folder-head =
    # Una carpeta de trabajo

    Archivos sencillos, empezados con una primera mirada. `job.toml` y `systems.toml` explican cada campo a su lado; el
    plano y la tabla de lecturas no admiten comentarios, por eso se explican aquí. Después: `tooth check .`,
    `tooth assess .`, `tooth run . --out out`.
folder-plan =
    ## plan.geojson

    El plano, en la unidad que dice `units` (`m` o `ft`), no en grados; x a la derecha, y hacia arriba, `north_degrees`
    desde arriba en el sentido del reloj. Cada cosa tiene `properties` y una `geometry` (`Point`, `LineString`, o `Polygon`
    cuya última esquina repite la primera).

    - `id`: un nombre que nada más tiene. `kind`: uno de { $kinds }.
    - Una `zone` es un área: `name`, `system` (su `id` en `systems.toml`), `open_border` true donde no hay pared,
      `texture_stays` donde se conserva (exposed_aggregate, stamped, broomed, cream).
    - Un `film` tiene `film` (sealer, curing_compound, coating, adhesive, unknown) y, si se sabe, `thickness` y
      `condition` ({ $conditions }).
    - Una `surface` tiene `state` ({ $states }) y `depth`; una `stain` tiene `stain` ({ $stains }) y `depth`.
    - Un `ghost`, algo que se ve a través de un acabado transparente, tiene `ghost` ({ $ghosts }) y `of`, en sus palabras.
    - `small_damage`, contado, tiene `damage` ({ $damages }) y `count`.
    - Una `crack` tiene `width`, `movement`, `leaking`, `displaced`; un `hollow` tiene `certainty` (sure, doubtful),
      `hollow_kind`, `depth`; una `joint` tiene `joint`, `working`, `old_filler`; una `wall` o un `obstacle` no tiene más.
    - `note`: sus propias palabras. Lo que ya viene dice si se contó o si se supuso.
folder-readings =
    ## readings.csv

    Una fila por prueba, bajo el encabezado que está ahí.

    - `id`: un nombre que ninguna otra fila tiene. `kind`: uno de { $kinds }.
    - `zone`: el id del área. `x`, `y`: dónde, en la unidad del plano. `subject`: la marca de la que habla.
    - `value` y `unit`: un número con su unidad (`25`, `s`), o una palabra (`strong`, `weak`, `none` con ácido). `detail`:
      cómo rompió un arranque.
    - `instrument`, `time` (`2026-05-04T09:30`), `by` y `note`: con qué, cuándo, quién.
folder-more =
    ## Más archivos, cuando los haya

    `methods.toml` máquinas, métodos y ritmos propios; `forecast.csv`; `photos/`, `sounding/`, `texture/`.
