# Der Raum „Progress“.

horse = Pferd
horse-none = Kein Pferd
horse-all = Alle Pferde
horse-unnamed = dieses Pferd

# Welche Tage, auf Knöpfen.
period-28-days = Letzte 28 Tage
period-28-days-to = 28 Tage bis { $day }
period-this-month = { $month } bis heute
period-month = { $month } { $year }
period-three-months = Letzte drei Monate
period-everything = Alles
period-days = Von, bis…
month-before = Der Monat davor
month-after = Der Monat danach
# Und als Angebot, wo in den gewählten Tagen nichts ist.
show-period = Zeigen: { $period }
first-day = Erster Tag
last-day = Letzter Tag
day-hint = { $day }; leer für beliebig
day-example = 01.03.2026
period-label = Tage
day-unread = „{ $text }“ ist kein Tag. So schreiben: 01.03.2026.
days-turned = Der Zeitraum endet, bevor er anfängt. Die beiden Tage vertauschen.


# Womit die Tage verglichen werden, in einer Liste.
compare = Verglichen mit
against-nothing = nichts
against-last-month = dem ganzen { $month }
against-days-before = { $days ->
    [one] dem Tag davor
   *[other] den { $days } Tagen davor
}
against-three-months = den drei Monaten davor
against-before = vor einem Tag…
against-as-many = ebenso vielen Tagen davor
against-typed = anderen Tagen…
against-reins = der anderen Hand
against-day = Der Tag dazwischen
other-first-day = Erster der anderen Tage
other-last-day = Letzter der anderen Tage
against-first = Der erste Tag des späteren Teils; der Tag davor ist der letzte des früheren

# Gezeigt an Stelle eines Monats, den niemand gewählt hat.
instead = Im { $month } gibt es { $rides ->
    [0] noch keinen Ritt
    [one] erst 1 Ritt
   *[other] erst { $rides } Ritte
} zum Vergleichen; es braucht { $least }. Gezeigt sind die 28 Tage bis zum { $latest }.
# Bei mehreren Pferden: $horses sind in Arbeit, $enough davon haben genug Ritte.
instead-horses = Im { $month } { $enough ->
    [0] hat noch keines von { $horses } Pferden in Arbeit
    [one] hat erst 1 von { $horses } Pferden in Arbeit
   *[other] haben erst { $enough } von { $horses } Pferden in Arbeit
} die { $least } Ritte, die ein Vergleich braucht. Gezeigt sind für alle dieselben 28 Tage bis zum { $latest }.

# Welche Versuche, und was davon; in Listen.
reins-label = Hand
reins-both = Beide Hände
reins-only-left = Nur linke Hand
reins-only-right = Nur rechte Hand

measure-label = Gezählt
measure-attempts = Versuche mit Fehler
measure-attempts-tip = Wie viele der Versuche einen Fehler haben
measure-faults = Fehler pro Minute
measure-faults-tip = Wie viele Fehler markiert sind, über die gerittene Zeit. Die Spannen setzen voraus, dass Fehler einzeln kommen; wo sie sich häufen, sind sie zu eng.

order-name = Nach Namen
order-name-tip = Von A bis Z
order-first = Woran zuerst arbeiten
order-first-tip = Zuerst, was klar öfter misslingt als vorher oder klar einseitig ist. Dann nach den Versuchen mit Fehler, die in einem Ritt zu erwarten sind: wie oft es misslingt mal wie oft es geritten wird; selten gerittene Lektionen werden zur üblichen Quote des Pferdes hin gerückt. Unter 6 Versuchen zuletzt.
counting = Wird gezählt
counting-failed = Das ließ sich nicht ausrechnen. Es ist nichts verloren; warum, steht im Protokoll des Programms. Andere Tage wählen oder den Hof neu öffnen.
summary = { $rides }, { $days }
summary-tip = Nur durchgesehene Lektionen stecken in einer Quote; wer eine beim Markieren schließt, hat sie durchgesehen.

column-exercise = Lektion
column-reins = Mit Fehler, Hand für Hand
column-trend = Mit Fehler, Ritt für Ritt
column-reins-faults = Fehler pro Minute, Hand für Hand
column-trend-faults = Fehler, Ritt für Ritt
side-all = alle
side-left = L
side-right = R
side-none = ohne
side-left-full = Linke Hand
side-right-full = Rechte Hand

# Alle Lektionen in einem Atemzug, über der Liste; hinter den Köpfen stehen Namen.
digest-worse = Schlechter:
digest-one-sided = Einseitig:
digest-one-sided-attempts = Einseitig nach Versuchen mit Fehler:
digest-better = Besser:
digest-too-few = Zu wenige für eine Aussage:
digest-quiet = Nichts ist klar besser, schlechter oder einseitig.
digest-quiet-reins = Nichts ist klar einseitig.
digest-more = und { $more } weitere
weaker-left = { $exercise } (links schlechter)
weaker-right = { $exercise } (rechts schlechter)

empty-no-horse = Noch kein Pferd
empty-no-horse-next = Zahlen beginnen mit einem Pferd und dem Film eines Ritts. Das Pferd im Raum „Yard“ anlegen.
to-the-yard = Zum Raum „Yard“
empty-days = Welche Tage?
this-horse = diesem Pferd
the-horses = den Pferden
empty-no-ride = Noch kein Ritt von { $horse }
empty-no-ride-next = Den Film eines Ritts wählen und die Lektionen beim Abspielen markieren.
new-ride = Neuer Ritt aus Film…
empty-nothing-counts = In diesen Tagen zählt keine Lektion von { $horse }
empty-nothing-counts-next = Die Lektionen eines Ritts markieren; was geschlossen ist, zählt von selbst.
open-newest = Neuesten Ritt öffnen
empty-not-in-days = In diesen Tagen kein Ritt von { $horse }
newest-ride = Der neueste Ritt ist vom { $day }.

close-line = Diese Lektion schließen
heading-periods = Zwei Zeiträume
heading-rides = Ritt für Ritt
plot-key = Ein Punkt ist ein Ritt: die Höhe der Anteil der Versuche mit Fehler, die Größe die Zahl der Versuche. Ein senkrechter Strich ist die Spanne, ab 6 Versuchen.
plot-spoken = Anteil der Versuche mit Fehler, { $rides }, { $exercise }. Die Tabelle dazu sagt dasselbe in Worten.
ride-in-words = { $day }: { $faulty } von { $attempts } { $attempts ->
    [one] Versuch
   *[other] Versuchen
} mit Fehler, { $faults ->
    [one] { $faults } Fehler
   *[other] { $faults } Fehler
}
table-day = Tag
table-attempts = Versuche
table-faulty = Mit Fehler
table-faults = Fehler
opens-ride = Öffnet diesen Ritt
heading-faults = Fehler
no-faults = Keiner wurde markiert.
fault-times = { $fault }: { $times ->
    [one] { $times }-mal markiert
   *[other] { $times }-mal markiert
}
heading-moments = Die Stellen im Film
no-faults-to-see = Kein Fehler anzusehen.
no-moments = In diesen Tagen gibt es keinen Versuch anzusehen.
moment-of = { $horse }: { $moment }
moment-clean = fehlerfrei
moment-praised = fehlerfrei, gelobt
moments-tip = Auf ein Bild zeigen, und seine Sekunden laufen; ein Klick öffnet die Stelle in Review, 2 Sekunden davor. { $play } (abspielen) und { $mark } (merken) gelten dem Bild, auf das zuletzt gezeigt oder mit Tab gegangen wurde.
no-key = keine Taste
key-space = Leertaste
all-moments = Alle { $moments } Stellen zeigen
newest-moments = Die neuesten { $moments } von { $all } Stellen zeigen
moments-capped = Gezeigt sind die neuesten { $moments } von { $all } Stellen. Weniger Tage wählen, um die älteren zu sehen.
moment-playing = läuft
moment-film-missing = Film nicht gefunden
moment-film-another = Dort liegt ein anderer Film
moment-film-unreadable = Der Film lässt sich nicht zeigen
moment-not-filmed = Nicht gefilmt
moment-look-for-film = Den Ritt öffnen, um ihn zu suchen
moment-see-why = Den Ritt öffnen, um zu sehen, warum
moment-mark = { $when } zum Nebeneinanderstellen merken
moment-unmark = { $when }: nicht mehr gemerkt
moments-most = { $most } sind gemerkt, und mehr passen nicht nebeneinander. Zuerst eine wegnehmen.
heading-moments-before = Die Stellen vorher: { $days }
moment-before = vorher: { $when }
before-too = auch { $earlier } ({ $moments })
no-moments-so = Keine Stelle von dieser Auswahl.
only-fault = { $fault } { $times }
only-left = linke Hand
only-right = rechte Hand
clean-too = { $attempts ->
    [one] auch { $attempts } fehlerfreier Versuch
   *[other] auch { $attempts } fehlerfreie Versuche
}
moments-unfilmed = Und { $moments }, die kein Film zeigt:
# Stellen nebeneinander.
beside-these = Nebeneinander ({ $moments })
beside-these-tip = Spielt die gemerkten Stellen zusammen ab, jede von vor ihrer Marke an ({ $key })
beside-two = Zwei bis vier merken, um sie zusammen zu sehen.
beside-one-more = Noch eine merken, um sie nebeneinander zu sehen.
beside-none = Keine merken
beside-heading = { $exercise }: nebeneinander
beside-back = Zurück zur Liste
beside-opening = Der Film wird geöffnet …
beside-mirrored = gespiegelt
beside-later = Der Film beginnt später
beside-over = Der Film ist zu Ende
beside-open = In Review öffnen
beside-open-this = In Review öffnen: { $moment }
beside-play = Abspielen
beside-pause = Anhalten
beside-step-back = Ein Bild zurück
beside-step-on = Ein Bild weiter
beside-at-marks = Zu den Marken
beside-time = { $seconds } s
beside-slower = Langsamer
beside-faster = Schneller
beside-speed = { $speed }×
beside-repeat = Immer wieder
beside-mirror = Die andere Hand spiegeln
beside-mirror-all = Alle außer der ersten spiegeln
beside-before = Vor der Marke
beside-after = Danach
beside-seconds = { $seconds } s
no-film = Zu diesem Ritt gibt es keinen Film.
left = links
right = rechts
heading-reins = Links und rechts
heading-variants = Varianten
variant-rate = { $variant }: { $rate }
variant-not-noted = nicht notiert
heading-after = Nach einem Fehler
how-heading = Wie das gefunden wurde

# Alle Pferde auf einen Blick.
page-horses = Pferde
order-need = Was man ansehen sollte
order-need-tip = Nach eigener Wahl: zuerst Pferde mit einem Hinweis zu Belastung oder Kopf-Hals-Haltung, dann die mit den meisten Lektionen, die schlechter wurden, dann mit den meisten einseitigen, dann nach den Versuchen mit Fehler, die in einem Ritt zu erwarten sind.
column-first = Woran zuerst arbeiten
column-changed = Besser, schlechter, einseitig
column-weeks = Geritten, Woche für Woche
horses-row = { $horse }. { $row }
# Über den Zeilen: bei $horses von ihnen ist es nicht der Monat, den niemand gewählt hat.
horses-instead = { $horses ->
    [one] 1 Pferd hat im { $month } noch keine { $least } Ritte zum Vergleichen: Seine Zeile zeigt die 28 Tage bis zu seinem neuesten Ritt.
   *[other] { $horses } Pferde haben im { $month } noch keine { $least } Ritte zum Vergleichen: Ihre Zeilen zeigen die 28 Tage bis zu ihrem neuesten Ritt.
}
horses-age = { $age ->
    [one] 1 Jahr
   *[other] { $age } Jahre
}
horses-age-young = { $age ->
    [one] 1 Jahr
   *[other] { $age } Jahre
}, wächst noch
horses-no-age = Alter nicht angegeben
horses-ridden = { $rides }, { $length }
horses-no-ride = in diesen Tagen kein Ritt
horses-no-ride-newest = in diesen Tagen kein Ritt, der neueste am { $day }
horses-no-ride-ever = noch kein Ritt
horses-nothing-faulty = in diesen Tagen nichts mit Fehler
horses-nothing-counts = in diesen Tagen zählt keine Lektion
horses-first = Woran zuerst arbeiten: { $exercise }. { $sentence }
horses-better = { $count } besser: { $exercises }
horses-worse = { $count } schlechter: { $exercises }
horses-no-change = von { $count } keine klar besser oder schlechter
horses-too-few = zu wenig, um zu sagen, was besser wurde
horses-not-compared = nicht mit anderen Tagen verglichen
horses-one-sided = einseitig: { $exercises }
horses-worse-left = { $exercise } (links schlechter)
horses-worse-right = { $exercise } (rechts schlechter)
horses-counting = Wird gezählt
horses-opens = Öffnet dieses Pferd mit den Tagen seiner Zeile
horses-weeks-spoken = Geritten in dieser Woche: { $now }; in der Woche davor: { $before }
horses-week-nothing = nichts
# Hinweise in Kürze; die ganzen Sätze stehen einen Schritt tiefer.
horses-much-more = in sieben Tagen viel mehr als üblich
horses-no-day-off = { $days } Tage hintereinander geritten
horses-long-ride = ein Ritt mit mehr als einer Stunde außerhalb des Schritts
horses-perhaps-long-ride = ein Ritt mit vielleicht mehr als einer Stunde außerhalb des Schritts
horses-held-early = { $rides ->
    [one] 1 Ritt
   *[other] { $rides } Ritte
} von { $timed } mit einer Haltung über 8 Minuten ohne Dehnung
horses-held-full = { $rides ->
    [one] 1 Ritt
   *[other] { $rides } Ritte
} von { $timed } mit einer Haltung von etwa zehn Minuten oder mehr ohne Dehnung

# Figures: what stands in them and over the columns of their tables.
across-title = { $exercise }, Ritt für Ritt
faults-title = { $exercise }: Fehler
reins-title = { $exercise }: links und rechts
variants-title = { $exercise }: Varianten
after-title = { $exercise }: nach einem Fehler
axis-faulty = Anteil der Versuche mit Fehler
layer-trend = Tendenz mit ihrer Spanne
layer-ranges = Spanne
layer-rides = Ritte
layer-months = Monate
layer-faulty = Versuche mit Fehler
layer-shows = Prüfungen und Turniere
layer-notes = Notizen
event-show = Prüfung oder Turnier
event-said = { $day }: { $what }
table-share = Anteil
table-range = Spanne
table-trend = Tendenz
table-happened = Ereignisse
table-from-to = { $low } bis { $high }
table-fitted = { $share } ({ $range })
table-fault = Fehler
table-times = Wie oft
table-which = Was
after-bar-mistake = nach einem Fehler
after-bar-clean = nach einem fehlerfreien
after-bar-repeat = sofort wiederholt

# The buttons of a figure.
figure-as-table = { $figure } als Tabelle
figure-whole = { $figure }: wieder das Ganze zeigen
figure-menu = { $figure }: kopieren oder speichern
figure-copy-picture = Bild kopieren
figure-save-png = Bild speichern (PNG)…
figure-save-svg = Bild speichern (SVG)…
figure-copy-table = Tabelle kopieren
figure-save-csv = Tabelle speichern (CSV)…
figure-title-picture = Wohin soll das Bild?
figure-title-table = Wohin soll die Tabelle?
figure-written = Geschrieben: { $file }
figure-not-written = { $file } ließ sich nicht schreiben: { $why }
figure-not-written-next = Einen anderen Ort dafür wählen
figure-copied-picture = Bild kopiert
figure-copied-table = Tabelle kopiert
figure-not-copied = Es wurde nichts kopiert: { $why }
figure-too-large = das Bild ist zu groß
figure-not-drawn = das Bild ließ sich nicht zeichnen
