AcceptanceRule =
    .every_result = cada resultado dentro del límite
    .mean_and_least = promedio dentro del límite, ninguno bajo el 85 % de él
    .tolerance_factor = promedio menos k desviaciones estándar dentro del límite
    .percent_within = parte del lote dentro del límite
    .chance_in_range = probabilidad del rango pedido

Scale =
    .CSP = CSP
    .chance = probabilidad
    .MPa = MPa
    .came_back = volvió
    .hollow = hueco
    .mm = mm
    .dusty = con polvo
    .K = K
    .s = s
    .pH = pH
    .x_ = %
    .g__m__d_ = g/(m²·d)
    .no_lime = sin cal
    .ratio = veces
    .came_off = se despegó

FieldTest =
    .moisture_emission = prueba de emisión de humedad
    .in_slab_humidity = sonda de humedad dentro de la losa
    .water_drop = gota de agua
    .surface_ph = pH de la superficie
    .plastic_sheet = lámina de plástico pegada
    .pull_off = prueba de arranque
    .chip_rating = calificación con plaquetas
    .dark_cloth = paño oscuro

FindingState =
    .fine = bien
    .prepare = preparar
    .hold = alto: firmar primero
    .decide = decidir
    .repair = reparar primero
    .engineer = especialista primero
    .not_a_candidate = no es candidata

Recommendation =
    .go = adelante
    .repair_first = reparar primero
    .test_more = probar más
    .engineer = ingeniero
    .do_not_bid = no cotizar

SettingOf =
    .limits = un ajuste
    .system = según la ficha

JobFact =
    .drainage = desagüe
    .patch_rule = regla de parches
    .slab_vapour_retarder = barrera de vapor
    .slab_freeze_thaw = se congela mojada
    .moisture_decision = decisión sobre la humedad
    .slab_past_damage = daño anterior
    .slab_cast = día del colado
    .slab_post_tensioned = losa postensada
    .slab_support = apoyo
    .locate = localización
    .slab_embedded_items = elementos embebidos
    .texture_stays = textura que se queda

CrackClass =
    .fine = fina
    .medium = mediana
    .wide = ancha

Exclusion =
    .system_material = el material del sistema mismo
    .system_laying = la colocación del sistema mismo
    .areas = las áreas que quedan sin plan
    .hidden_damage = daño más allá de lo marcado: por orden de cambio, a precios unitarios
    .replaced_slab = reemplazar la losa donde una grieta es demasiado ancha e inquieta para una junta
    .oil_comes_back = cortar donde el aceite vuelve después de limpiar: a precios unitarios
    .tests = las pruebas y respuestas de laboratorio que todavía se piden
    .locate = la localización antes de cortar
    .sample_panel = los paneles de muestra
    .moisture = una capa contra la humedad, o esperarla
    .protection = cubrir, encerrar y proteger lo que está alrededor
    .water = toma de agua y lugar de lavado
    .disposal = retiro de desechos
    .travel = viajes
    .clearing = despejar el piso de mercancía y muebles
    .release_work = lo que una liberación pide hacer primero
    .released = lugares liberados que ningún paso trata
    .specialists = ingenieros, remoción autorizada y permisos

WayKind =
    .wait = esperar
    .mitigate = mitigar
    .breathable = sistema que respira
    .refuse = no hacerla

FillBasis =
    .dish = un plato poco hondo: la mitad de área × lo más hondo
    .straightedge = triángulos entre las honduras bajo una regla y el borde
    .fall = triángulos entre alturas, hasta la pendiente deseada al desagüe
    .scaling = descascarado: área × profundidad perdida

ScalingClass =
    .light = leve
    .medium = mediano
    .severe = severo
    .very_severe = muy severo

PatchRule =
    .partial_depth = regla de profundidad parcial (FHWA)
    .facilities = regla de desconchados (UFC 3-270-03)

FilmReach =
    .none = sin película
    .thin = película delgada
    .thick = película gruesa o adhesivo

OilReach =
    .none = sin aceite
    .surface = aceite en la superficie
    .deep = aceite absorbido

SoilReach =
    .none = nada
    .dirt = suciedad
    .salts = sales
    .rust = óxido

Residue =
    .clean = limpio y seco
    .dust = polvo
    .wet = mojado
    .acid = restos de ácido

DustMade =
    .none = sin polvo
    .controlled = polvo aspirado en la herramienta
    .open = polvo abierto

Hazard =
    .silica_dust = polvo de sílice
    .noise = ruido
    .vibration = vibración en manos y brazos
    .acid = ácido
    .engine_indoors = gases de motor bajo techo
    .old_coating = recubrimientos y adhesivos viejos
    .embedded = elementos dentro de la losa
    .structure = losa suspendida o tensada
    .wet_electrical = electricidad cerca del agua
    .slurry = lodo alcalino
    .chemical = removedores y solventes

Scope =
    .whole = toda el área
    .part = donde está marcado
    .patches = lugares sueltos
    .lines = grietas y juntas
    .low_spots = puntos bajos

Stage =
    .preparation = antes de colocar el sistema
    .after_system = después de colocar el sistema

Planned =
    .planned = planeado
    .not_planned = sin plan
    .infeasible = no se halló manera

Binding =
    .do_first = primero
    .sign_first = firmado primero
    .never = nunca

Hold =
    .locate = localización firmada
    .laboratory = respuesta del laboratorio sobre la película vieja
    .opened_spot = un punto abierto en cada lugar hueco
    .oil_gone = sin aceite de vuelta 24 h después de limpiar
    .sample_panel = panel de muestra aprobado
    .prepared_slab = la losa preparada aceptada, antes de cubrirla
    .near_item = cómo el corte se mantiene lejos de lo que hay cerca
    .decision = se decide y se firma en qué queda el área

PartOfWork =
    .itself = {""}
    .checking = revisar
    .sawing = aserrar
    .breaking = romper
    .placing = colocar
    .edging_up = hacer los bordes

ProofTest =
    .chip_rating = Calificación con plaquetas
    .pull_off = Resistencia al arranque
    .water_drop = Gota de agua
    .surface_ph = pH de la superficie
    .oil_bleed_back = Aceite, 24 h después de limpiar
    .in_slab_humidity = Humedad dentro de la losa
    .moisture_emission = Emisión de humedad
    .repair_sounding = reparaciones golpeadas otra vez
    .repair_pull_off = resistencia al arranque de reparaciones
    .straightedge = puntos bajos bajo la regla
    .remover_residue = gotas donde se usó un removedor
    .dark_cloth = Paño oscuro
    .dew_point = Margen sobre el punto de rocío
    .lime = gota de tinte o ácido por la cal
    .evenness = gota más lenta contra la más rápida
    .film_holds = cuchillo en la película que se queda

Objective =
    .cheapest = menor costo
    .fastest = menor tiempo
    .least_dust = menos polvo
    .balanced = costo, tiempo y polvo juntos

JointKind =
    .contraction = junta de contracción
    .construction = junta de construcción
    .isolation = junta de aislamiento
    .expansion = junta de expansión
    .cold = junta fría

CrackMovement =
    .dormant = quieta
    .active = activa
    .unknown = movimiento no conocido

LineTreatment =
    .rout_and_fill = ranurar y rellenar
    .rout_and_seal = ranurar y sellar para que se mueva
    .recut_and_seal = llevar hasta arriba, volver a cortar y sellar
    .honour_and_seal = respetar y sellar junto al acabado
    .grind_lip = desbastar el escalón a nivel
    .stitch = coser y rellenar
    .semi_rigid_fill = limpiar y rellenar semirrígido
    .leave = dejarla y mostrarla
    .keep_clean = soplar y dejar abierta

HollowKind =
    .loose_skin = piel suelta
    .debonded_layer = capa vieja despegada
    .lost_support = borde alabeado o apoyo perdido
    .unknown = clase no conocida

Hollow =
    .sure = hueco seguro
    .doubtful = dudoso

FilmKind =
    .sealer = sellador
    .curing_compound = compuesto de curado
    .coating = recubrimiento viejo
    .adhesive = adhesivo viejo
    .unknown = película desconocida

Contaminant =
    .oil = aceite
    .rust = óxido
    .rust_left_on = óxido que dejaron encima
    .rust_from_within = óxido que sale de la losa
    .efflorescence = eflorescencia

SurfaceState =
    .laitance = lechada
    .dusting = superficie que suelta polvo
    .dense_trowelled = densa, alisada dura
    .scaling = descascarado
    .exposed_aggregate = agregado expuesto
    .crazing = microfisuras
    .stamped = estampada
    .acid_washed = lavada con ácido antes

Embedded =
    .heating_loop = circuito de calefacción
    .tendon = tendón de postensado
    .conduit = conducto
    .unknown = elemento desconocido

Reaction =
    .even = tomó parejo
    .uneven = tomó disparejo
    .none = no tomó

SoundingMethod =
    .chain = arrastre de cadena
    .hammer = martillo
    .tap_grid = malla de golpes

Matter =
    .unsettled = sin acordar
    .plausibility = verosimilitud
    .structure = estructura
    .embedded_items = elementos embebidos
    .old_coating = recubrimiento viejo
    .deterioration_from_inside = deterioro desde adentro
    .settlement = asentamiento
    .cracks = grietas
    .joints = juntas
    .hollow_concrete = concreto hueco
    .spalls = desconchados
    .repair_share = parte por reparar
    .scaling = descascarado
    .film = película
    .coating_identity = identidad del recubrimiento
    .dense_surface = superficie densa
    .oil = aceite
    .rust = óxido
    .efflorescence = eflorescencia
    .weak_layer = capa débil
    .exposed_aggregate = agregado expuesto
    .crazing = microfisuras
    .scratch_hardness = dureza al rayado
    .carbonation = carbonatación
    .chloride = cloruro
    .pull_off_strength = resistencia al arranque
    .pull_off_retest = nueva prueba de arranque
    .age = edad del concreto
    .moisture = humedad
    .surface_ph = pH de la superficie
    .profile = perfil
    .profile_scan = perfil por escaneo
    .low_spots = puntos bajos
    .hidden_damage = daño oculto
    .product_fit = ajuste del producto
    .climate = clima
    .see_through = acabado transparente
    .sample_panel = panel de muestra
    .film_kept = película que se queda
    .lime = cal al alcance
    .texture = textura que se queda
    .small_damage = daños pequeños
    .evenness = uniformidad

Answer =
    .yes = sí
    .no = no
    .unknown = no se sabe

Fizz =
    .strong = burbujeo fuerte
    .weak = burbujeo débil
    .none = sin burbujeo

FailureMode =
    .substrate = dentro de la losa
    .interface = entre losa y capa
    .overlay = dentro de la capa
    .adhesive = despegó el pegamento, no la losa

DampOrDry =
    .damp = húmedo
    .dry = seco

SolventRub =
    .softens = se ablanda con solvente
    .no_effect = el solvente no hace nada

KnifeTest =
    .chips = salta en astillas
    .peels = se pela en tiras
    .holds = agarra a la losa

ClothWipe =
    .clean = queda limpio
    .dusty = sale con polvo

LaboratoryQuestion =
    .asbestos = asbesto
    .lead = plomo
    .deterioration = deterioro desde adentro (petrografía)

Support =
    .on_grade = sobre el terreno
    .suspended = suspendida
    .unknown = no se sabe

Presence =
    .present = presente
    .absent = ausente
    .failed = fallada
    .unknown = no se sabe

Setting =
    .indoor = bajo techo
    .outdoor = a la intemperie

Dust =
    .usual = control usual del polvo
    .controlled = solo herramientas con cubierta y aspiradora
    .none = sin remoción en seco

Power =
    .none = sin corriente
    .single_phase = tomas monofásicas
    .three_phase = corriente trifásica

SiteWork =
    .masking = enmascarado
    .containment = encierro
    .acid_cover = metal y vidrio cubiertos contra el ácido
    .alarms_and_ventilation = alarmas de humo y ventilación aseguradas
    .water_and_washout = toma de agua y lugar de lavado
    .shift_premium = recargo por turno
    .notices = avisos a los vecinos
    .steps = escalones a mano
    .coves = zócalos curvos a mano
    .curbs = guarniciones a mano
    .drains = desagües conservados
    .height_transition = transiciones de altura
    .door_clearance = holgura de puertas
    .tests = pruebas y laboratorio
    .locate = localización antes de cortar
    .sample_panel = panel de muestra
    .finish = el acabado mismo: su material
    .finish_sealer = el sellador encima
    .finish_laying = colocación del acabado
    .slip_additive = aditivo antideslizante
    .other = otro trabajo del sitio

PullOffAcceptance =
    .every_result = cada resultado
    .mean_and_least = promedio y menor
    .tolerance_factor = factor de tolerancia
    .percent_within = porcentaje dentro del límite

SystemClass =
    .stain = tinte
    .sealer = sellador
    .thin_film = película delgada
    .high_build = recubrimiento de alto espesor
    .self_levelling = capa autonivelante
    .polymer_overlay = sobrecapa polimérica
    .concrete_overlay = sobrecapa de concreto

Exposure =
    .cream = no se ve agregado
    .fine = se ve arena fina
    .coarse = se ve agregado grueso

PullOffRule =
    .every_result = cada resultado
    .mean = el promedio

ThicknessFrom =
    .peaks = sobre las crestas del perfil
    .mean_plane = desde el plano medio del perfil

ThingKind =
    .job = trabajo
    .locate = localización
    .consent = consentimiento
    .overrule = decisión en contra
    .plan = plano
    .feature = en el plano
    .systems = sistemas
    .system = sistema
    .methods = métodos
    .machine = máquina
    .method = método
    .reading = lectura
    .forecast = pronóstico
    .file = archivo
    .order = orden de

Certainty =
    .seen = publicado
    .computed = calculado
    .measured = medido en esta losa
    .data_sheet = ficha técnica
    .memory = de memoria, verificar
    .common_practice = práctica común, sin fuente
    .assumption = suposición, suya por fijar

and = y
or = o

Measured =
    .water_drop = gota de agua
    .acid_drop = gota de ácido
    .pull_off = arranque
    .in_slab_humidity = humedad dentro de la losa
    .moisture_emission = emisión de humedad
    .plastic_sheet = lámina de plástico
    .surface_ph = pH de la superficie
    .chip_rating = calificación con plaquetas
    .sand_patch = parche de arena
    .replica_putty = masilla de réplica
    .profile_probe = sonda de perfil
    .air_temperature = temperatura del aire
    .air_humidity = humedad del aire
    .surface_temperature = temperatura de la superficie
    .crack_gauge = medidor de grietas
    .scratch_hardness = dureza al rayado
    .film_thickness = espesor de película
    .oil_bleed_back = aceite a las 24 h
    .laboratory = laboratorio
    .repair_sounding = Reparación, golpeada otra vez
    .carbonation = carbonatación
    .solvent_rub = frote con solvente
    .knife = cuchillo
    .dark_cloth = paño oscuro
    .chloride = cloruro
    .straightedge_depth = bajo una regla
    .elevation = altura
    .production_rate = rendimiento
    .stain_drop = gota de tinte

Month =
    .x1 = enero
    .x2 = febrero
    .x3 = marzo
    .x4 = abril
    .x5 = mayo
    .x6 = junio
    .x7 = julio
    .x8 = agosto
    .x9 = septiembre
    .x10 = octubre
    .x11 = noviembre
    .x12 = diciembre

MonthShort =
    .x1 = ene
    .x2 = feb
    .x3 = mar
    .x4 = abr
    .x5 = may
    .x6 = jun
    .x7 = jul
    .x8 = ago
    .x9 = sep
    .x10 = oct
    .x11 = nov
    .x12 = dic

Weekday =
    .x1 = lun
    .x2 = mar
    .x3 = mié
    .x4 = jue
    .x5 = vie
    .x6 = sáb
    .x7 = dom

date-in-full = { $day } de { $month } de { $year }
day-and-hour = { $weekday } { $day } { $month } { $hour }
weekday-and-hour = { $weekday } { $hour }

Language =
    .en = English
    .es = español

LaboratoryMethod =
    .polarised_light = luz polarizada
    .electron = microscopio electrónico

Building =
    .residence = casa
    .commercial = edificio comercial
    .unknown = edificio de clase desconocida

RepairSound =
    .sound = firme
    .hollow = hueco

MoistureWay =
    .mitigate = mitigar
    .wait = esperar
    .no_limit = sin límite indicado

FilmCondition =
    .sound = firme
    .hazy = opaca
    .white = blanca, con aire o agua debajo
    .scratched = rayada
    .worn = gastada en los pasos
    .peeling = se despega
    .blistered = con ampollas
    .tyre_lifted = levantada bajo las llantas
    .unknown = sin revisar

FilmWay =
    .recoat_over = limpiar, lijar suave y recubrir encima
    .rewet_and_recoat = ablandar con su solvente y recubrir

GhostKind =
    .glue_rows = hileras de pegamento
    .tile_pattern = el dibujo de losetas viejas
    .carpet_lines = líneas de alfombra y agujeros de tiras
    .old_patch = un parche viejo
    .strip_edge = el borde donde se dejó de quitar
    .chalk_line = tiza de color
    .marker = marcador o crayón
    .paint_spots = manchas de imprimador, pintura o yeso
    .tyre_marks = marcas de llantas
    .other = otra marca

KeptTexture =
    .exposed_aggregate = agregado expuesto
    .stamped = estampado
    .broomed = superficie escobillada
    .cream = nata allanada

SmallDamage =
    .tack_strip_holes = agujeros de tiras de alfombra
    .nail_holes = agujeros de clavos y anclas
    .popouts = cráteres de piedra

Spoils =
    .none = ninguna textura
    .relief = textura en relieve
    .any = cualquier textura

Units =
    .si = metros y kilogramos
    .us = pies y libras
