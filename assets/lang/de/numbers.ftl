# Zahlen, Tage und Längen.

decimal-sign = ,

# Ein Anteil der Versuche: „1 von 6“.
share = { $some } von { $all }
share-all = alle
share-none = keiner
share-tiny = weniger als 1 von 200
share-nearly-all = mehr als 199 von 200

# $month ist 1 bis 12.
month = { $month ->
    [1] Januar
    [2] Februar
    [3] März
    [4] April
    [5] Mai
    [6] Juni
    [7] Juli
    [8] August
    [9] September
    [10] Oktober
    [11] November
   *[12] Dezember
}
month-short = { $month ->
    [1] Jan.
    [2] Feb.
    [3] März
    [4] Apr.
    [5] Mai
    [6] Juni
    [7] Juli
    [8] Aug.
    [9] Sep.
    [10] Okt.
    [11] Nov.
   *[12] Dez.
}
day = { $day }. { $month } { $year }
day-of-month = { $day }. { $month }
month-of-year = { $month } { $year }

length-seconds = { $seconds } s
length-minutes = { $minutes } min { $seconds } s
length-hours = { $hours } h { $minutes } min

# Welche Tage: $from und $to sind Tage.
days-every = alle Ritte
days-from = ab { $from }
days-to = bis { $to }
days-between = { $from } bis { $to }
