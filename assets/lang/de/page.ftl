# Der Raum „Progress“ als Seite zum Drucken oder Verschicken.

report-export = Als Seite ausgeben…
report-days = Zeitraum: { $days }.
report-against = Verglichen mit: { $days }.
report-against-nothing = Ohne Vergleich.
report-against-reins = Die linke Hand wird mit der rechten verglichen.
report-measure-faults = Gezählt sind Fehler pro Minute; woran zuerst zu arbeiten ist, richtet sich nach den Versuchen mit Fehler.
report-whole-apart = Belastung, Haltung, Tempo und alles andere, was ein Pferd allein betrifft, steht auf der Seite jedes Pferdes.
report-contents = Auf dieser Seite
report-cautions = Vor dem Lesen
report-horses = Die Pferde
report-numbers = Die Zahlen dieses Bildes
report-overview = Alle Lektionen, oben woran zuerst zu arbeiten ist
report-overview-name = Alle Lektionen nach Namen
report-column-faulty = Versuche mit Fehler
report-column-before = Davor
report-column-verdict = Versuche mit Fehler gegenüber vorher
report-column-verdict-faults = Fehler pro Minute gegenüber vorher
report-column-reins = Links gegen rechts
report-reins-left = links öfter mit Fehler
report-reins-right = rechts öfter mit Fehler
report-column-better = Weniger Versuche mit Fehler
report-column-worse = Mehr Versuche mit Fehler
report-column-rides = Ritte
report-column-fault = Fehler
report-column-time = Zeit im Ritt
report-column-note = Notiz
report-column-timer = Uhr
report-column-changes = Wechsel
report-column-length = Gerittene Zeit
report-column-pace = Gangart
report-column-share = Anteil
report-column-transition = Übergang
report-verdict-fewer = weniger
report-verdict-more = mehr
report-verdict-unclear = kein klarer Unterschied
report-verdict-few = zu wenig, um es zu sagen
report-moments-newest = Das sind die neuesten { $moments } von { $all }. Die übrigen hat der Raum „Progress“, jede einen Klick von ihrem Film.
report-still-no-film = Kein Film zeigt diese Stelle.
report-still-gone = Der Film ist nicht, wo er war. Den Ritt öffnen, um ihn zu suchen.
report-still-another = Wo dieser Film war, liegt ein anderer. Den Ritt öffnen, um ihn zu suchen.
report-still-unreadable = Der Film lässt sich nicht lesen.
report-still-no-room = Weggelassen, sonst wäre die Seite zu groß zum Verschicken.
report-methods = Wie diese Zahlen gefunden wurden
report-methods-more = Bei jeder Lektion steht, wie ihre eigenen Zahlen gefunden wurden. Dies sind die Verfahren und wo sie veröffentlicht wurden.
report-files = Die Dateien des Hofs
report-files-fine = Alle ließen sich lesen, und an keiner ist etwas falsch.
report-files-problems = { $problems ->
    [one] An den Dateien des Hofs ist etwas falsch: Hier können Zahlen fehlen. Genau sagt es „reinback check“.
   *[other] An den Dateien des Hofs sind { $problems } Dinge falsch: Hier können Zahlen fehlen. Genau sagt es „reinback check“.
}
report-made = Gemacht mit Reinback { $version }, Stand { $day }.
