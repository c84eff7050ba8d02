# Das ganze Pferd: alles außer den Fehlerquoten.

page-exercises = Lektionen
page-whole = Das ganze Pferd
whole-one-horse = Ein Pferd auf einmal: oben ein Pferd wählen.
whole-counting = Die Ritte werden angesehen
whole-no-rides = Kein Ritt in diesen Tagen.
whole-show-all = Alle { $count } zeigen
whole-open = Öffnet { $day } in Review
percent = { $percent } %
percent-tiny = unter 1 %

# „in 8 Ritten“
rides-in = { $rides ->
    [one] { $rides } Ritt
   *[other] { $rides } Ritten
}

pace-walk = Schritt
pace-trot = Trab
pace-canter = Galopp
pace-passage = Passage
pace-piaffe = Piaffe
pace-halt = Halten
pace-rein-back = Rückwärtsrichten
going-walk = { $variant ->
    [medium] Mittelschritt
    [free] freier Schritt
    [extended] starker Schritt
    [collected] versammelter Schritt
   *[other] Schritt, { $variant }
}
going-trot = { $variant ->
    [working] Arbeitstrab
    [collected] versammelter Trab
    [medium] Mitteltrab
    [extended] starker Trab
   *[other] Trab, { $variant }
}
going-canter = { $variant ->
    [working] Arbeitsgalopp
    [collected] versammelter Galopp
    [medium] Mittelgalopp
    [extended] starker Galopp
   *[other] Galopp, { $variant }
}
going = { $pace }, { $variant }

# Haltung von Hals und Kopf.
outline-heading = Kopf-Hals-Haltung
outline-none = In diesen Tagen ist keine Haltung markiert. In Review markieren, dann stehen hier die Anteile und die Uhr.
outline-not-held = keine Haltung beibehalten
outline-quiet = am längsten beibehalten { $length }
outline-early = { $length } ohne Dehnung: länger als 8 Minuten, ein früher Hinweis nach eigener Wahl
outline-full = { $length } ohne Dehnung oder Hingeben der Zügel: etwa zehn Minuten oder mehr
outline-paused = { $held }; davon { $length } unbekannt, also vielleicht länger
outline-changes = { $changes ->
    [one] { $changes } Wechsel
   *[other] { $changes } Wechsel
} der Haltung, { $often } in zehn Minuten
outline-changes-few = weniger als eine Minute bekannt: zu wenig für Wechsel in zehn Minuten
outline-timed = In { $outlined } von { $rides } ist die Haltung markiert.
outline-caution = Nach Hinweisen der FEI an Stewards von 2010 für das Abreiten, die überholt sein können: die geltenden Regeln prüfen. Eine Erinnerung, nie ein Urteil. Vorwärts-abwärts zählt als Dehnung, obwohl die Hinweise auch diese Haltung unter denen zeigen, die nicht lange beizubehalten sind. Ein Pferd, das sich nicht dehnen kann oder gegen die Hand geht, hat vielleicht Schmerzen: den Tierarzt fragen.
outline-no-ride = Der Ritt hat keine Länge, also ist nichts zu messen. Den Film einordnen oder das Ende markieren.
outline-rules = Die Zeiten der Uhr widersprechen sich.
outline-held-and-released = Eine Haltung ist als beibehalten und als Dehnung markiert.
outline-figure = Haltung, Ritt für Ritt
outline-figure-spoken = Anteile der bekannten Zeit in jeder Haltung, in { $rides }. Die Uhr meldete sich { $early ->
    [0] nie
    [one] einmal
   *[other] { $early }-mal
} nach 8 Minuten und { $full ->
    [0] nie
    [one] einmal
   *[other] { $full }-mal
} nach etwa zehn. Die Tabelle sagt dasselbe in Worten.
outline-box = { $when }: { $name } { $percent }, { $length }
outline-early-sign = länger als 8 Minuten
outline-full-sign = etwa zehn Minuten oder mehr
outline-noticed = { $when }: { $timer }
outline-none-noticed = kein Ritt über 8 Minuten
outline-dark = Unbekannt
outline-timer = Beibehalten ohne Dehnung
outline-column-changes = Wechsel der Haltung

# Serienwechsel.
series-heading = Serienwechsel
series-none = In diesen Tagen keine durchgesehene Serie.
series-unreviewed = { $count ->
    [one] { $count } Serie ist nicht durchgesehen und nicht gezeigt.
   *[other] { $count } Serien sind nicht durchgesehen und nicht gezeigt.
}
series-bare = { $count ->
    [one] Eine Serie hat
   *[other] { $count } Serien haben
} weniger als zwei markierte Wechsel. In Review die Wechsel markieren und bildgenau setzen, dann werden hier die Sprünge gezählt.
series-row = { $day }. { $exercise }, { $asked }. { $found }
series-asked = verlangt { $count }, { $every ->
    [one] von Sprung zu Sprung
   *[other] zu { $every } Sprüngen
}
series-asked-every = verlangt { $every ->
    [one] von Sprung zu Sprung
   *[other] zu { $every } Sprüngen
}
series-asked-count = verlangt { $count }, Sprünge nicht notiert
series-asked-nothing = was verlangt war, ist nicht notiert
series-not-asked = Anzahl nicht geprüft: Niemand hat notiert, zu wie vielen Sprüngen verlangt war. Der Lektion ihre Zahlen geben.
series-few-changes = Anzahl nicht geprüft: Weniger als zwei Wechsel sind markiert.
series-not-refined = Anzahl nicht geprüft: Einige Marken sitzen nicht genau auf ihrem Bild. Bitte nachstellen.
series-no-stride = Anzahl nicht geprüft: Die Dauer eines Galoppsprungs ist nicht bekannt. Den Galopp dieses Ritts mittippen.
series-other = { $ridden ->
    [one] Von Sprung zu Sprung geritten
   *[other] Zu { $ridden } Sprüngen geritten
}, wo { $every ->
    [one] von Sprung zu Sprung
   *[other] zu { $every } Sprüngen
} verlangt war, und zwar durchgehend.
series-none-sure = In jedem Abstand sind zwei Sprungzahlen möglich, also ist keiner gezählt.
series-held = { $sure ->
    [one] Der eine sichere Abstand stimmt.
   *[other] Alle { $sure } sicheren Abstände stimmen: { $every ->
        [one] von Sprung zu Sprung
       *[other] zu { $every } Sprüngen
    }.
}
series-wrong = { $wrong } von { $sure ->
    [one] { $sure } Abstand
   *[other] { $sure } Abständen
} falsch ({ $kinds }); { $run ->
    [0] keine zwei Wechsel hintereinander stimmten
    [one] keine zwei Wechsel hintereinander stimmten
   *[other] höchstens { $run } Wechsel hintereinander stimmten
}.
series-early = { $times } zu früh
series-late = { $times } zu spät
series-missed = { $times } Wechsel ausgelassen
series-extra = { $times } Wechsel zu viel
series-unsure = { $unsure ->
    [one] In einem Abstand sind zwei Sprungzahlen möglich: Er ist nicht gezählt.
   *[other] In { $unsure } Abständen sind zwei Sprungzahlen möglich: Sie sind nicht gezählt.
}
series-surplus = { $shown } Wechsel gezeigt, { $asked } verlangt.
series-stride = Ein Galoppsprung dauert { $seconds } s, nach { $source }.
stride-film = dem Tempo des Films
stride-taps = mitgetippten Sprüngen dieses Ritts
stride-earlier = einem früheren Galopp dieses Pferdes
series-even = Die Zeiten zwischen den Wechseln streuen um { $spread } ({ $low } bis { $high }); Bilder allein würden etwa { $frames } zeigen.
series-even-few = Zu wenige Wechsel für die Gleichmäßigkeit: Es braucht mindestens vier.
series-uneven = Die Wechsel sind zu ungleichmäßig für eine Zahl. Die Abstände einzeln ansehen.
series-lead = Wechsel { $side }: { $tally } falsch.
series-to-left = nach links
series-to-right = nach rechts
series-same-lead = { $times ->
    [one] Einmal ist derselbe Galopp zweimal hintereinander markiert
   *[other] { $times }-mal ist derselbe Galopp zweimal hintereinander markiert
}: Ein Wechsel dazwischen fehlt, oder eine Seite ist falsch.
series-no-feet = Ob durchgesprungen oder nachgesprungen, ist nicht gemessen: Auftritte sind nicht markiert. Der Fehler „hinten nachgesprungen“ ist die eigene Marke.
interval-unsure = { $fewest } oder { $most }
interval-early = { $strides } zu früh
interval-late = { $strides } zu spät
interval-missed = { $strides } ausgelassen
interval-extra = { $strides } zu viel
series-impossible-asked = So ist das nicht zu reiten: 2 bis 200 Wechsel, zu 1 bis 20 Sprüngen. Die Lektion prüfen.
series-impossible-stride = Kein Pferd galoppiert mit dieser Sprungdauer. Den Galopp noch einmal mittippen.
series-impossible-frame = Die Bilddauer des Films ist nicht bekannt, also ist ein Moment darin nicht genau.
series-marked-twice = Zwei Wechsel sind fast im selben Moment markiert. Einen davon entfernen.

# Tempo.
tempo-heading = Tempo
tempo-none = In diesen Tagen ist kein Tempo bekannt. In Review die Tritte oder Sprünge einer Strecke mittippen.
tempo-pace = { $pace }: { $median } { $unit }
tempo-pace-rides = { $pace }: { $median } { $unit }, Median aus { $rides }
tempo-unit = Bewegungszyklen pro Minute
tempo-unit-canter = Galoppsprünge pro Minute
tempo-steps = nach Tritten gezählt: { $steps }
tempo-lapses = { $lapses ->
    [0] keine Temposchwankung
    [one] eine Temposchwankung
   *[other] { $lapses } Temposchwankungen
} auf geraden Linien
tempo-no-line = keine Linie ist sicher gerade, also wird keine Temposchwankung behauptet
tempo-published = veröffentlicht { $low } bis { $high }, nur zur Orientierung
tempo-point = { $day }: { $pace }, { $median } { $unit } ({ $strides } gezählt)
tempo-month = { $month }: { $pace }, { $median } { $unit }, Median aus { $rides }
tempo-caution = Takt, der ohne Grund in der Arbeit ungleichmäßig wird, ist Sache des Tierarztes.
tempo-figure = Tempo, Ritt für Ritt und Monat für Monat
tempo-figure-spoken = Das Tempo jedes Ritts in jeder Gangart als Zeichen, gefüllt auf geraden Linien, und die Mediane der Monate als Linie mit größeren Zeichen. Die Tabelle sagt dasselbe in Worten.
tempo-axis = Bewegungszyklen pro Minute
tempo-column-pace = Gangart
tempo-column-when = Wann
tempo-column-strides = Bewegungszyklen
around = { $head }: { $quicker }-mal eiliger, { $slower }-mal langsamer (um mehr als 4 %); { $events ->
    [one] hier
   *[other] im Mittel (Median)
} { $typical }.
around-none = { $head }: Das Tempo ist nicht bekannt, denn nirgends sind davor und danach drei Bewegungszyklen hintereinander getippt.
around-changes = { $events ->
    [one] Nach einem Galoppwechsel
   *[other] Nach { $events } Galoppwechseln
}
around-corners = { $events ->
    [one] Nach einer Ecke
   *[other] Nach { $events } Ecken
}
around-within = { $events ->
    [one] Nach einem Übergang in der Gangart
   *[other] Nach { $events } Übergängen in der Gangart
}
around-by-quicker = { $percent } % eiliger
around-by-slower = { $percent } % langsamer
around-left-out = { $events } ausgelassen: nicht auf beiden Seiten drei Bewegungszyklen hintereinander.
tempo-before = davor
tempo-in = darin
tempo-after = danach
tempo-about-title = { $exercise }: Tempo davor, darin und danach
tempo-about-said = { $day }: davor { $before }, darin { $within }, danach { $after }
tempo-about-median = { $attempts ->
    [one] Ein Versuch
   *[other] Median von { $attempts } Versuchen
}
layer-attempts = Versuche
layer-middle = Median
layer-middle-of = Median, { $kind }
about-kind = { $kind }: { $said }
about-sides = { $events ->
    [one] In einem Versuch
   *[other] { $events } Versuche, Median und Spanne:
} davor { $before }, danach { $after } { $unit }.
about-within = Darin { $within }.
about-within-some = Darin { $within }, bekannt in { $known } von { $events }.
about-middle = { $middle } ({ $low } bis { $high })
about-none = Um diese Lektion ist in diesen Tagen kein Tempo bekannt. Dafür braucht es drei getippte Bewegungszyklen davor und drei danach.
tap-tempo = Tempo des neuesten Ritts mit Film tippen…
tap-no-film-about = Kein Film zeigt diese Lektion in diesen Tagen, also gibt es nichts zum Mittippen. In Review den Film eines Ritts hinzufügen.
tap-no-film = Keiner dieser Ritte hat einen Film zum Mittippen. In Review den Film eines Ritts hinzufügen.

# Übergänge.
steps-heading = Übergänge
steps-none = In diesen Tagen ist keine Gangart notiert. In Review die Gangarten notieren.
steps-known = { $length } in bekannter Gangart, in { $rides }.
steps-between = { $count } von Gangart zu Gangart: { $often }.
steps-within = { $count } in der Gangart: { $often }.
steps-often = { $value } pro Minute ({ $low } bis { $high })
steps-left-out = { $count ->
    [one] Ein weiterer ist
   *[other] { $count } weitere sind
} nicht zu beurteilen: Eine Variante ist nicht genannt, oder die Gangart dazwischen ist nicht bekannt.
steps-aids = Auf { $answered } von { $aids ->
    [one] { $aids } Hilfe
   *[other] { $aids } Hilfen
} reagierte das Pferd innerhalb von 5 Sekunden.
steps-answers = Von der Hilfe bis zur Antwort im Mittel (Median) { $middle } s, bei der Hälfte zwischen { $low } und { $high } s.
steps-kind = { $from } – { $to }
steps-kinds = Übergänge nach Art
steps-figure = Übergänge pro Minute, Ritt für Ritt
steps-figure-spoken = Übergänge pro Minute von Gangart zu Gangart und in der Gangart, in { $rides }, jeweils mit Spanne. Die Tabelle sagt dasselbe in Worten.
steps-axis = Pro Minute
steps-kind-between = von Gangart zu Gangart
steps-kind-within = in der Gangart
steps-column-known = In bekannter Gangart
steps-dot = { $when }: { $name } { $count } in { $length }, { $rate }

# Belastung.
load-heading = Belastung
load-caution = Minuten sagen nichts über die Anstrengung, und Arbeit ohne Film ist nicht dabei. Es gibt keine veröffentlichte Grenze: Das sind Erinnerungen, keine Urteile. Ein Pferd, das sich nach mehr Arbeit anders anfühlt, sollte angesehen werden.
load-week = Letzte sieben Tage: { $length } in { $rides }.
load-usual = Eine übliche Woche sind { $length }; die letzten sieben Tage sind { $percent } davon.
load-no-rides = Bis heute noch kein Ritt.
load-short = Die Aufzeichnung ist kürzer als fünf Wochen, eine übliche Woche also noch nicht bekannt.
load-nothing-before = Kein Ritt in den vier Wochen davor, also nichts zum Vergleichen.
load-no-rest = Kein Tag ohne Ritt, seit die Aufzeichnung beginnt.
load-rest-today = { $row ->
    [0] Heute kein Ritt; der letzte ist { $days } Tage her.
    [one] Heute kein Ritt; gestern wurde geritten.
   *[other] Heute kein Ritt; davor an { $row } Tagen hintereinander geritten.
}
load-rest = { $days ->
    [one] Der letzte Tag ohne Ritt war gestern.
   *[other] Der letzte Tag ohne Ritt ist { $days } Tage her.
}
load-age = { $age ->
    [one] Ein Jahr alt.
   *[other] { $age } Jahre alt.
}
load-no-age = Das Geburtsjahr fehlt oder liegt in der Zukunft. Im Raum „Yard“ berichtigen.
load-no-competitions = Turniere lassen sich noch nicht eintragen, deshalb steht hier nichts über die Tage bis dahin.
load-ahead = { $rides ->
    [one] Ein Ritt liegt nach heute und ist in keiner Summe.
   *[other] { $rides } Ritte liegen nach heute und sind in keiner Summe.
}
load-lengthless = { $rides ->
    [one] Ein Ritt hat keine Länge: Er zählt als Ritt ohne Zeit.
   *[other] { $rides } Ritte haben keine Länge: Sie zählen als Ritte ohne Zeit.
}
load-much-more = In den letzten sieben Tagen viel mehr als in einer üblichen Woche. Arbeit, die langsam wächst, ist leichter für das Pferd.
load-no-day-off = { $days } Tage hintereinander geritten. Ein freier Tag oder die Koppel tut vielleicht gut.
load-long-ride = Ein Ritt mit mehr als einer Stunde außerhalb des Schritts. Auf Turnieren erlaubt die FEI eine Einheit von einer Stunde, Schritt nicht gerechnet (so 2018 zitiert; die geltenden Regeln prüfen).
load-young = Ein Pferd von { $age } Jahren wächst noch. Kurze Ritte und freie Tage zählen mehr als Fortschritt.
load-reins = In Lektionen mit Hand: links { $left }, rechts { $right }.
load-no-pace = keine Gangart notiert
load-exercise = { $exercise }: { $length }
load-in-days = In diesen Tagen geritten: { $length } in { $rides }.
load-paces = Gerittene Zeit nach Gangart
load-figure = Geritten, Woche für Woche
load-figure-spoken = Gerittene Minuten in jeder Gangart in { $weeks ->
    [one] der letzten Woche
   *[other] den letzten { $weeks } Wochen
}. Die Tabelle sagt dasselbe in Worten.
load-axis = Minuten
load-usual-line = übliche Woche
load-box = Woche vom { $day }: { $pace } { $length }, von { $all } in { $rides }
load-column-week = Woche vom
load-column-rides = Ritte
load-column-all = Geritten

# Orte.
place-heading = Wo Fehler vorkommen
place-none = Kein Fehler in diesen Tagen.
place-count = { $arena }, { $rides }: { $placed ->
    [one] ein Fehler hat einen Ort.
   *[other] { $placed } Fehler haben einen Ort.
}
place-unplaced = { $faults ->
    [one] Ein Fehler hat keinen: in Review auf dem Plan anklicken.
   *[other] { $faults } Fehler haben keinen: in Review auf dem Plan anklicken.
}
place-outside = { $faults ->
    [one] Einer liegt außerhalb dieser Bahn: ihre Größe prüfen.
   *[other] { $faults } liegen außerhalb dieser Bahn: ihre Größe prüfen.
}
place-letter = { $letter }: { $times ->
    [one] einmal
   *[other] { $times }-mal
}
place-caution = Zahlen, keine Quoten: Wie oft das Pferd an einem Ort vorbeikam, ist nicht bekannt, und an den Ecken kommt es öfter vorbei als an X.
place-moment = { $day } { $time } { $fault }
arena-standard = 20 × 60 m
arena-small = 20 × 40 m

# Was richtigen Zahlen im Weg steht.
look-heading = Anzusehen
look-ahead = Nach heute datiert: zählt in keiner Belastung mit. Den Tag berichtigen.
look-before-birth = Vor der Geburt des Pferdes datiert. Den Tag oder das Geburtsjahr berichtigen.
look-far-apart = Mehr als zwölf Stunden vom ersten bis zum letzten Eintrag: Vielleicht wurde eine Uhr verstellt. Die Länge ist in keiner Summe.
look-no-length = Eine Lektion hat keine Länge: Sie zählt als Versuch, aber in keiner Quote pro Minute. Ihr ein Ende geben.
look-overlap = Zwei Versuche einer Lektion überschneiden sich: Vielleicht ist einer zweimal markiert. Die gemeinsame Zeit zählt einmal.
look-loose-faults = { $faults ->
    [one] Ein Fehler liegt in keiner Lektion und ist deshalb in keiner Quote.
   *[other] { $faults } Fehler liegen in keiner Lektion und sind deshalb in keiner Quote.
}
look-loose-changes = { $changes ->
    [one] Ein Galoppwechsel liegt in keiner Lektion und ist deshalb in keiner Serie.
   *[other] { $changes } Galoppwechsel liegen in keiner Lektion und sind deshalb in keiner Serie.
}
look-two-paces = Zwei Gangarten sind { $length } lang zugleich markiert: als unbekannt genommen.
look-two-outlines = Zwei Haltungen sind { $length } lang zugleich markiert: als unbekannt genommen.
look-same-film = Der Film ist auch in einem früheren Ritt: vielleicht ein Ritt, der doppelt zählt.
look-one-ride = Nur ein Ritt in diesen Tagen: Noch ist nichts zu vergleichen.
look-no-time = { $exercise }: Die Versuche haben keine Länge, also gibt es keine Fehler pro Minute.
look-all-faulty = { $exercise }: Alle { $attempts } Versuche hatten einen Fehler. Vielleicht wird sie zu früh verlangt; und eine bessere Quote ist damit nicht ausgeschlossen.
look-none-faulty = { $exercise }: Keiner von { $attempts } Versuchen hatte einen Fehler. Fehler können trotzdem vorkommen.
look-row = { $where }: { $what }

# Was geliehen und was nicht bekannt ist.
series-stride-day = Jener frühere Galopp wurde am { $day } mitgetippt.
load-perhaps-long-ride = Ein Ritt mit vielleicht mehr als einer Stunde außerhalb des Schritts: Die Gangarten sind nicht überall notiert.
arena-not-given = Bahngröße nicht angegeben, gezeichnet als 20 × 60 m

# A series and a plan as figures.
series-title = { $day }: { $exercise }, { $asked }
layer-asked = Verlangt
layer-changes = Wechsel
layer-same-lead = Nicht umgesprungen
table-change = Wechsel
table-seconds = Sekunden
table-strides = Sprünge davor
table-asked = Verlangt bei Sekunde
axis-seconds = Sekunden nach dem ersten Wechsel
change-said = Wechsel { $change }
change-after = Wechsel { $change }: { $strides }
layer-squares = Quadrate von 5 Metern
layer-clicks = Stellen
layer-letters = Zahl je Bahnpunkt
table-counted = Was gezählt ist
table-place = Wo
place-at = { $along } m von der kurzen Seite mit A, { $across } m von der langen Seite mit K
square-said = { $times ->
    [one] { $times } Fehler
   *[other] { $times } Fehler
} in diesem Quadrat
place-title = { $exercise }: { $arena }
