pull-off-strength = Resistencia al arranque: { $said }{ $follows }.
more-to-read = ; faltan { $missing } por leer
on-average-least-limit = { $number } en promedio, menor { $least }, límite { $asked }
that-of-the-lot-reach-with-confidence = { $number } que { $share } del lote alcanza con { $confidence } de confianza, límite { $asked }
of-the-lot-at-or-more-asked = { $ratio } % del lote con { $asked } o más, se pide { $share }
least-limit = menor { $least }, límite { $asked }
profile-by-scan-is-likely-by-scan = Perfil por escaneo: { $range } es { $chance } % probable según { $count } { $count ->
    [one] escaneo
   *[other] escaneos
    }; deciden la mano y el ojo.
of-outside-the-limit = { $test }: { $n } de { $count } fuera del límite.
results-missing = { $test }: faltan { $missing } por leer.
all-within-the-limit = { $test }: los { $count } dentro del límite.
of-places-were-read = { $what }: se leyeron { $places } de { $needed } lugares separados { $apart } o más. Donde se piden más de tres, anotar x e y de cada uno.
on-a-scale = { $value } { $scale }
profile-by-scan = Perfil por escaneo
not-prepared-yet-nothing-to-accept = todavía sin preparar: nada que aceptar
every-test-that-the-system-asks = todas las pruebas que pide el sistema están aceptadas
chip-rating = Calificación con plaquetas
chip-rating-one-person-alone-rated = Calificación con plaquetas: la calificó una sola persona; dos califican sin decirse.
nothing-yet = nada todavía
the-breaks-are-of-different-kinds = ; las roturas son de clases distintas, así que no se promedian: cada resultado debe llegar al límite, y la regla también cumplirse
not-met = , no cumple
dark-cloth = Paño oscuro
water-drops = Gotas de agua
standing-against = { $against }
release-not-signed = Todavía sin firmar, como pide la liberación: { $condition }.
disks-pulled = Pruebas de arranque
still-not-known = Todavía no se sabe: { $what }. Prueba: { $test }.
chip-rating-ask-the-sheet = Placas de comparación: { $range } es un rango de guía, de memoria, y no acepta nada. Preguntar a la hoja qué perfil quiere.
no-drop-where-it-came-off = Gotas de agua: ninguna se puso donde se quitó { $marks }.
