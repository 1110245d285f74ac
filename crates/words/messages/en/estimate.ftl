material = Material: { $name }
crew-trip = { $trips } crew { $trips ->
    [one] trip
   *[other] trips
    }
bring-and-fetch = Bring and fetch: { $name }
site-item = { CAP($what) }, { $amount }
pace-of-part = { $name } ({ $work })
part-of-the-profile-made-again = part of the profile made again in: { $name }
size-of-the-hollow-places-heard = size of the hollow places heard in: { $name }
hidden-damage = hidden damage in: { $name }
pace-of = pace of: { LOWER($name) }
prices-of-materials = prices of materials
pace-of-the-firm-rates-are-from = pace of the firm: rates are from memory, not from its own log
is-left-out-it-is-not = { $name } is left out; it is not in the price
is-left-out-its-steps-fall-away = { $name } is left out: its steps fall away; machines, trips and site items that the rest needs stay
bears-it-by-its-sheet-preparation-only = { $name } bears it by its sheet; preparation only, the difference of the systems themselves comes on top
laid-on-its-own-sheet-limit-holds = { $name }, laid on { $profile }; its own sheet's limit holds, and the system must be allowed on it
no-drying-date-the-vapour-retarder = no drying date: the vapour retarder below is absent, failed or not known, so water keeps coming
the-price-of-one-visit-to-read = the price of one visit to read again; how many it takes nobody can promise
a-coat-below-it-would-show-through = a coat below it would show through the finish
no-mitigating-coat-in-the-catalogue = no mitigating coat in the catalogue
the-profile-that-the-coat-asks = the profile that the coat asks for cannot be made here
a-system-of-the-job-bears-what = a system of the job bears what was read, but this area cannot be prepared for it
none-of-the-job-systems-names = none of the job's systems names a limit that holds what was read
quantity-of = { $amount }
repair-by-others = Repair by others: { $what }, as { $by } released it
