material = Material: { $name }
crew-trip = { $trips } { $trips ->
    [one] viaje
   *[other] viajes
    } de cuadrilla
bring-and-fetch = Traer y llevar: { $name }
site-item = { CAP($what) }, { $amount }
pace-of-part = { $name } ({ $work })
part-of-the-profile-made-again = parte del perfil hecha otra vez en: { $name }
size-of-the-hollow-places-heard = tamaño de los lugares huecos oídos en: { $name }
hidden-damage = daño oculto en: { $name }
pace-of = ritmo de: { LOWER($name) }
prices-of-materials = precios de los materiales
pace-of-the-firm-rates-are-from = ritmo de la empresa: los rendimientos son de memoria, no de su propio registro
is-left-out-it-is-not = { $name } queda fuera; no está en el precio
is-left-out-its-steps-fall-away = { $name } queda fuera: sus pasos desaparecen; quedan las máquinas, viajes y trabajos del sitio que el resto necesita
bears-it-by-its-sheet-preparation-only = { $name } lo aguanta según su ficha; solo preparación, la diferencia de los sistemas mismos se suma
laid-on-its-own-sheet-limit-holds = { $name }, colocada sobre { $profile }; vale el límite de su propia ficha, y el sistema debe estar permitido sobre ella
no-drying-date-the-vapour-retarder = sin fecha de secado: la barrera de vapor de abajo falta, falló o no se conoce, así que el agua sigue llegando
the-price-of-one-visit-to-read = el precio de una visita para volver a leer; cuántas hacen falta nadie lo puede prometer
a-coat-below-it-would-show-through = una capa debajo se vería a través del acabado
no-mitigating-coat-in-the-catalogue = no hay capa de mitigación en el catálogo
the-profile-that-the-coat-asks = el perfil que pide la capa no se puede hacer aquí
a-system-of-the-job-bears-what = un sistema del trabajo aguanta lo que se leyó, pero esta área no se puede preparar para él
none-of-the-job-systems-names = ninguno de los sistemas del trabajo nombra un límite que aguante lo que se leyó
quantity-of = { $amount }
repair-by-others = Reparación por otros: { $what }, como lo liberó { $by }
