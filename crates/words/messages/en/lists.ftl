AcceptanceRule =
    .every_result = every result within the limit
    .mean_and_least = mean within the limit, none below 85 % of it
    .tolerance_factor = mean less k standard deviations within the limit
    .percent_within = share of the lot within the limit
    .chance_in_range = chance of the range asked for

Scale =
    .CSP = CSP
    .chance = chance
    .MPa = MPa
    .came_back = came back
    .hollow = hollow
    .mm = mm
    .dusty = dusty
    .K = K
    .s = s
    .pH = pH
    .x_ = %
    .g__m__d_ = g/(m²·d)
    .no_lime = no lime
    .ratio = times
    .came_off = came off

FieldTest =
    .moisture_emission = moisture emission test
    .in_slab_humidity = in-slab humidity probe
    .water_drop = water drop
    .surface_ph = surface pH
    .plastic_sheet = taped plastic sheet
    .pull_off = pull-off test
    .chip_rating = chip rating
    .dark_cloth = dark cloth

FindingState =
    .fine = fine
    .prepare = prepare
    .hold = hold: sign first
    .decide = decide
    .repair = repair first
    .engineer = specialist first
    .not_a_candidate = not a candidate

Recommendation =
    .go = go
    .repair_first = repair first
    .test_more = test more
    .engineer = engineer
    .do_not_bid = do not bid

SettingOf =
    .limits = a setting
    .system = by the sheet

JobFact =
    .drainage = drainage
    .patch_rule = patch rule
    .slab_vapour_retarder = vapour retarder
    .slab_freeze_thaw = freezing wet
    .moisture_decision = moisture decision
    .slab_past_damage = past damage
    .slab_cast = day of casting
    .slab_post_tensioned = post tensioned
    .slab_support = support
    .locate = locate
    .slab_embedded_items = embedded items
    .texture_stays = texture that stays

CrackClass =
    .fine = fine
    .medium = medium
    .wide = wide

Exclusion =
    .system_material = the system's own material
    .system_laying = laying the system itself
    .areas = areas that stand without a plan
    .hidden_damage = damage beyond what is marked: by change order, at unit rates
    .replaced_slab = replacing the slab where a crack is too wide and restless for a joint
    .oil_comes_back = cutting out where oil comes back after cleaning: at unit rates
    .tests = tests and laboratory answers that are still asked for
    .locate = the locate before anything is cut
    .sample_panel = sample panels
    .moisture = a coat against moisture, or waiting for it
    .protection = masking, containment and protection of what stands about
    .water = water supply and washout
    .disposal = disposal of waste
    .travel = travel
    .clearing = clearing the floor of goods and furniture
    .release_work = what a release asks to be done first
    .released = places that were released and that no step treats
    .specialists = engineers, abatement and permits

WayKind =
    .wait = wait
    .mitigate = mitigate
    .breathable = breathable system
    .refuse = refuse

FillBasis =
    .dish = a shallow dish: half of area × deepest
    .straightedge = triangles between depths below a straightedge and the rim
    .fall = triangles between heights, up to the wanted fall to the drain
    .scaling = scaled off: area × depth lost

ScalingClass =
    .light = light
    .medium = medium
    .severe = severe
    .very_severe = very severe

PatchRule =
    .partial_depth = partial-depth rule (FHWA)
    .facilities = spall rule (UFC 3-270-03)

FilmReach =
    .none = no film
    .thin = thin film
    .thick = thick film or adhesive

OilReach =
    .none = no oil
    .surface = surface oil
    .deep = soaked-in oil

SoilReach =
    .none = nothing
    .dirt = dirt
    .salts = salts
    .rust = rust

Residue =
    .clean = clean and dry
    .dust = dust
    .wet = wet
    .acid = acid residue

DustMade =
    .none = no dust
    .controlled = dust taken at the tool
    .open = open dust

Hazard =
    .silica_dust = silica dust
    .noise = noise
    .vibration = hand-arm vibration
    .acid = acid
    .engine_indoors = engine exhaust indoors
    .old_coating = old coatings and adhesives
    .embedded = items in the slab
    .structure = suspended or stressed slab
    .wet_electrical = electricity near water
    .slurry = alkaline slurry
    .chemical = strippers and solvents

Scope =
    .whole = the whole area
    .part = where marked
    .patches = loose places
    .lines = cracks and joints
    .low_spots = low spots

Stage =
    .preparation = before the system goes down
    .after_system = after the system is down

Planned =
    .planned = planned
    .not_planned = not planned
    .infeasible = no way found

Binding =
    .do_first = first
    .sign_first = signed first
    .never = never

Hold =
    .locate = signed locate
    .laboratory = laboratory answer on the old film
    .opened_spot = one spot opened in each hollow place
    .oil_gone = no oil back 24 h after cleaning
    .sample_panel = sample panel approved
    .prepared_slab = the prepared slab accepted, before it is covered
    .near_item = how the cut stays clear of what lies near it
    .decision = what the area becomes is decided and signed

PartOfWork =
    .itself = {""}
    .checking = checking
    .sawing = sawing
    .breaking = breaking
    .placing = placing
    .edging_up = edging up

ProofTest =
    .chip_rating = Chip rating
    .pull_off = Pull-off strength
    .water_drop = Water drop
    .surface_ph = pH of the surface
    .oil_bleed_back = Oil, 24 h after cleaning
    .in_slab_humidity = Humidity in the slab
    .moisture_emission = Moisture emission
    .repair_sounding = repairs tapped again
    .repair_pull_off = pull-off strength of repairs
    .straightedge = low spots under a straightedge
    .remover_residue = drops where a remover was used
    .dark_cloth = Dark cloth
    .dew_point = Margin above dew point
    .lime = stain or acid drop for lime
    .evenness = slowest drop against quickest
    .film_holds = knife on the film that stays

Objective =
    .cheapest = least cost
    .fastest = least time
    .least_dust = least dust
    .balanced = cost, time and dust together

JointKind =
    .contraction = contraction joint
    .construction = construction joint
    .isolation = isolation joint
    .expansion = expansion joint
    .cold = cold joint

CrackMovement =
    .dormant = dormant
    .active = active
    .unknown = movement not known

LineTreatment =
    .rout_and_fill = rout and fill
    .rout_and_seal = rout and seal to move
    .recut_and_seal = carry through, re-cut and seal
    .honour_and_seal = honour and seal beside the finish
    .grind_lip = grind the lip level
    .stitch = stitch and fill
    .semi_rigid_fill = clean and fill semi-rigid
    .leave = leave it and show it
    .keep_clean = blow out and leave open

HollowKind =
    .loose_skin = loose skin
    .debonded_layer = debonded old layer
    .lost_support = curled edge or lost support
    .unknown = kind not known

Hollow =
    .sure = sure hollow
    .doubtful = doubtful

FilmKind =
    .sealer = sealer
    .curing_compound = curing compound
    .coating = old coating
    .adhesive = old adhesive
    .unknown = unknown film

Contaminant =
    .oil = oil
    .rust = rust
    .rust_left_on = rust left on it
    .rust_from_within = rust from inside the slab
    .efflorescence = efflorescence

SurfaceState =
    .laitance = laitance
    .dusting = dusting
    .dense_trowelled = dense, hard-trowelled
    .scaling = scaling
    .exposed_aggregate = exposed aggregate
    .crazing = crazing
    .stamped = stamped
    .acid_washed = washed with acid before

Embedded =
    .heating_loop = heating loop
    .tendon = post-tensioning tendon
    .conduit = conduit
    .unknown = unknown item

Reaction =
    .even = took evenly
    .uneven = took unevenly
    .none = did not take

SoundingMethod =
    .chain = chain drag
    .hammer = hammer
    .tap_grid = tap grid

Matter =
    .unsettled = unsettled
    .plausibility = plausibility
    .structure = structure
    .embedded_items = embedded items
    .old_coating = old coating
    .deterioration_from_inside = deterioration from inside
    .settlement = settlement
    .cracks = cracks
    .joints = joints
    .hollow_concrete = hollow concrete
    .spalls = spalls
    .repair_share = repair share
    .scaling = scaling
    .film = film
    .coating_identity = coating identity
    .dense_surface = dense surface
    .oil = oil
    .rust = rust
    .efflorescence = efflorescence
    .weak_layer = weak layer
    .exposed_aggregate = exposed aggregate
    .crazing = crazing
    .scratch_hardness = scratch hardness
    .carbonation = carbonation
    .chloride = chloride
    .pull_off_strength = pull off strength
    .pull_off_retest = pull off retest
    .age = age of the concrete
    .moisture = moisture
    .surface_ph = surface ph
    .profile = profile
    .profile_scan = profile scan
    .low_spots = low spots
    .hidden_damage = hidden damage
    .product_fit = product fit
    .climate = climate
    .see_through = see through
    .sample_panel = sample panel
    .film_kept = film that stays
    .lime = lime within reach
    .texture = texture that stays
    .small_damage = small damage
    .evenness = evenness

Answer =
    .yes = yes
    .no = no
    .unknown = not known

Fizz =
    .strong = strong fizz
    .weak = weak fizz
    .none = no fizz

FailureMode =
    .substrate = in the slab
    .interface = between slab and layer
    .overlay = in the layer
    .adhesive = pulled the glue, not the slab

DampOrDry =
    .damp = damp
    .dry = dry

SolventRub =
    .softens = softens under solvent
    .no_effect = no effect of solvent

KnifeTest =
    .chips = chips off
    .peels = peels in strips
    .holds = holds to the slab

ClothWipe =
    .clean = stays clean
    .dusty = comes up dusty

LaboratoryQuestion =
    .asbestos = asbestos
    .lead = lead
    .deterioration = deterioration from inside (petrography)

Support =
    .on_grade = on grade
    .suspended = suspended
    .unknown = not known

Presence =
    .present = present
    .absent = absent
    .failed = failed
    .unknown = not known

Setting =
    .indoor = indoors
    .outdoor = outdoors

Dust =
    .usual = usual dust controls
    .controlled = shrouded, vacuumed tools only
    .none = no dry removal

Power =
    .none = no power
    .single_phase = single-phase outlets
    .three_phase = three-phase supply

SiteWork =
    .masking = masking
    .containment = containment
    .acid_cover = metal and glass covered from acid
    .alarms_and_ventilation = smoke alarms and ventilation made safe
    .water_and_washout = water supply and washout
    .shift_premium = shift premium
    .notices = notices to neighbours
    .steps = steps by hand
    .coves = coves by hand
    .curbs = curbs by hand
    .drains = drains kept
    .height_transition = height transitions
    .door_clearance = door clearance
    .tests = tests and laboratory
    .locate = locate before cutting
    .sample_panel = sample panel
    .finish = the finish itself: its material
    .finish_sealer = the sealer over it
    .finish_laying = laying the finish
    .slip_additive = slip additive
    .other = other site work

PullOffAcceptance =
    .every_result = every result
    .mean_and_least = mean and least
    .tolerance_factor = tolerance factor
    .percent_within = percent within the limit

SystemClass =
    .stain = stain
    .sealer = sealer
    .thin_film = thin film
    .high_build = high-build coating
    .self_levelling = self-levelling layer
    .polymer_overlay = polymer overlay
    .concrete_overlay = concrete overlay

Exposure =
    .cream = no aggregate shows
    .fine = fine sand shows
    .coarse = coarse aggregate shows

PullOffRule =
    .every_result = every result
    .mean = the mean

ThicknessFrom =
    .peaks = above the peaks of the profile
    .mean_plane = from the mean plane of the profile

ThingKind =
    .job = job
    .locate = locate
    .consent = consent
    .overrule = overrule
    .plan = plan
    .feature = on the plan
    .systems = systems
    .system = system
    .methods = methods
    .machine = machine
    .method = method
    .reading = reading
    .forecast = forecast
    .file = file
    .order = order of

Certainty =
    .seen = published
    .computed = computed
    .measured = measured on this slab
    .data_sheet = data sheet
    .memory = from memory, verify
    .common_practice = common practice, no source
    .assumption = assumption, yours to set

and = and
or = or

Measured =
    .water_drop = water drop
    .acid_drop = acid drop
    .pull_off = pull-off
    .in_slab_humidity = in-slab humidity
    .moisture_emission = moisture emission
    .plastic_sheet = plastic sheet
    .surface_ph = surface pH
    .chip_rating = chip rating
    .sand_patch = sand patch
    .replica_putty = replica putty
    .profile_probe = profile probe
    .air_temperature = air temperature
    .air_humidity = air humidity
    .surface_temperature = surface temperature
    .crack_gauge = crack gauge
    .scratch_hardness = scratch hardness
    .film_thickness = film thickness
    .oil_bleed_back = oil after 24 h
    .laboratory = laboratory
    .repair_sounding = Repair, tapped again
    .carbonation = carbonation
    .solvent_rub = solvent rub
    .knife = knife
    .dark_cloth = dark cloth
    .chloride = chloride
    .straightedge_depth = below a straightedge
    .elevation = height
    .production_rate = rate of work
    .stain_drop = stain drop

Month =
    .x1 = January
    .x2 = February
    .x3 = March
    .x4 = April
    .x5 = May
    .x6 = June
    .x7 = July
    .x8 = August
    .x9 = September
    .x10 = October
    .x11 = November
    .x12 = December

MonthShort =
    .x1 = Jan
    .x2 = Feb
    .x3 = Mar
    .x4 = Apr
    .x5 = May
    .x6 = Jun
    .x7 = Jul
    .x8 = Aug
    .x9 = Sep
    .x10 = Oct
    .x11 = Nov
    .x12 = Dec

Weekday =
    .x1 = Mon
    .x2 = Tue
    .x3 = Wed
    .x4 = Thu
    .x5 = Fri
    .x6 = Sat
    .x7 = Sun

date-in-full = { $day } { $month } { $year }
day-and-hour = { $weekday } { $day } { $month } { $hour }
weekday-and-hour = { $weekday } { $hour }

Language =
    .en = English
    .es = español

LaboratoryMethod =
    .polarised_light = polarised light
    .electron = electron microscope

Building =
    .residence = house
    .commercial = commercial building
    .unknown = building of unknown kind

RepairSound =
    .sound = sound
    .hollow = hollow

MoistureWay =
    .mitigate = mitigate
    .wait = wait
    .no_limit = no limit stated

FilmCondition =
    .sound = sound
    .hazy = hazy
    .white = white, air or water under it
    .scratched = scratched
    .worn = worn through in lanes
    .peeling = peeling
    .blistered = blistered
    .tyre_lifted = lifted under tyres
    .unknown = not looked at

FilmWay =
    .recoat_over = clean, scuff and coat over it
    .rewet_and_recoat = soften with its solvent and coat again

GhostKind =
    .glue_rows = rows of glue
    .tile_pattern = the pattern of old tiles
    .carpet_lines = carpet lines and strip holes
    .old_patch = an old patch
    .strip_edge = the edge where stripping stopped
    .chalk_line = coloured chalk
    .marker = marker or crayon
    .paint_spots = spots of primer, paint or plaster
    .tyre_marks = tyre marks
    .other = another mark

KeptTexture =
    .exposed_aggregate = exposed aggregate
    .stamped = stamped pattern
    .broomed = broomed surface
    .cream = trowelled cream

SmallDamage =
    .tack_strip_holes = carpet-strip holes
    .nail_holes = nail and anchor holes
    .popouts = popouts

Spoils =
    .none = no texture
    .relief = texture in relief
    .any = any texture

Units =
    .si = metres and kilograms
    .us = feet and pounds
