<%# A judged take: what is said of it, the music, strips of marks under it, how to read them. %>
<% include "page.ly" %>
<% include "layout.ly" %>

#(define (take-circle radius filled)
  (ly:stencil-translate-axis (make-circle-stencil radius 0.1 filled) 0.65 X))

#(define (take-path points filled)
  ;; A closed shape around the middle of a note head.
  (ly:stencil-translate-axis
    (make-path-stencil (append points '(closepath)) 0.1 1 1 filled) 0.65 X))

#(define (take-dot) (take-circle 0.32 #t))
#(define (take-other) (take-circle 0.2 #f))
#(define (take-nothing) (make-filled-box-stencil '(0.6 . 0.7) '(-0.01 . 0.01)))
#(define (take-late) (take-path '(moveto -0.45 0.55 lineto 0.65 0 lineto -0.45 -0.55) #t))
#(define (take-early) (take-path '(moveto 0.45 0.55 lineto -0.65 0 lineto 0.45 -0.55) #t))
#(define (take-off) (take-path '(moveto 0 0.6 lineto 0.6 0 lineto 0 -0.6 lineto -0.6 0) #t))
#(define (take-wavering reach)
  ;; A tone that wavers: from as low to as high as it went.
  (ly:stencil-add (take-circle 0.32 #f)
    (make-filled-box-stencil '(0.6 . 0.7) (cons (- reach) reach))))

#(define (take-at y mark) (ly:stencil-translate-axis mark y Y))

#(define (take-wrong head)
  ;; The head, crossed out.
  (let* ((own (ly:note-head::print head))
         (across (ly:stencil-extent own X)) (left (car across)) (right (cdr across)))
    (ly:stencil-add own
      (make-line-stencil 0.18 (- left 0.45) -1.0 (+ right 0.45) 1.0)
      (make-line-stencil 0.18 (- left 0.45) 1.0 (+ right 0.45) -1.0))))

#(define (take-missed head)
  ;; The head in grey, in brackets.
  (let* ((own (ly:note-head::print head)) (across (ly:stencil-extent own X)))
    (ly:stencil-add (stencil-with-color own (x11-color 'grey70))
      (make-path-stencil
        `(moveto ,(- (car across) 0.1) 0.9 rlineto -0.4 0 rlineto 0 -1.8 rlineto 0.4 0) 0.14 1 1 #f)
      (make-path-stencil
        `(moveto ,(+ (cdr across) 0.1) 0.9 rlineto 0.4 0 rlineto 0 -1.8 rlineto -0.4 0) 0.14 1 1 #f))))

#(define (take-unclear head)
  (stencil-with-color (ly:note-head::print head) (x11-color 'grey70)))

markWrong = \once \override Staff.NoteHead.stencil = #take-wrong
markMissed = \once \override Staff.NoteHead.stencil = #take-missed
markUnclear = \once \override Staff.NoteHead.stencil = #take-unclear

#(define-markup-command (scale layout props name top bottom) (string? string? string?)
  ;; What a strip tells at its left, the values at the heights of its edges.
  (let* ((small (lambda (text size) (markup #:sans #:fontsize size text)))
         (at (lambda (text size y)
           (let ((one (interpret-markup layout props (small text size))))
             (ly:stencil-translate
               (ly:stencil-aligned-to (ly:stencil-aligned-to one Y CENTER) X RIGHT)
               (cons -0.8 y))))))
    (let ((found (ly:stencil-add (at name -2 0) (at top -4 <%= view.half %>) (at bottom -4 <%= -view.half %>))))
      (ly:make-stencil (ly:stencil-expr found) '(-8 . 0) '(<%= -view.half %> . <%= view.half %>)))))

\layout {
  \context {
    \Staff
    \name Strip
    \alias Staff
    \remove Clef_engraver
    \remove Key_engraver
    \remove Time_signature_engraver
    \remove Accidental_engraver
    \remove Ledger_line_engraver
    \omit Stem
    \override NoteHead.Y-offset = #0
    \override NoteHead.X-extent = #'(0 . 1.3)
    \override NoteHead.Y-extent = #'(-0.3 . 0.3)
    \override StaffSymbol.color = #(x11-color 'grey60)
    \override StaffSymbol.thickness = #0.7
    \override BarLine.bar-extent = #'(<%= -view.half %> . <%= view.half %>)
    \override BarLine.color = #(x11-color 'grey60)
    \override BarLine.hair-thickness = #0.8
    \override Glissando.breakable = ##t
    \override Glissando.thickness = #1.6
    \override Glissando.bound-details.left.padding = #0
    \override Glissando.bound-details.left.attach-dir = #CENTER
    \override Glissando.bound-details.right.padding = #0
    \override Glissando.bound-details.right.attach-dir = #CENTER
    \override InstrumentName.self-alignment-X = #RIGHT
    \override InstrumentName.padding = #0
  }
  \context { \Score \accepts Strip }
}

\bookpart {
  \paper {
    oddHeaderMarkup = \markup \unless \on-first-page-of-part \column { \sans \say #9 <%= running %> \vspace #0.9 }
    evenHeaderMarkup = \oddHeaderMarkup
    oddFooterMarkup = \markup \sans \ends "" \abs-fontsize #8.5 \page-of #'last-of-take
    evenFooterMarkup = \oddFooterMarkup
    system-system-spacing =
      #'((basic-distance . 14) (minimum-distance . 10) (padding . 3) (stretchability . 8))
    ragged-bottom = ##t
    ragged-last-bottom = ##t
<% if as_one %>
    page-breaking = #ly:one-page-breaking
    oddFooterMarkup = \markup \null
<% endif %>
  }
\markup \override #'(baseline-skip . <%= mm(4.5) %>) \column {
  \ends \abs-fontsize #17 \bold <%= title %> \abs-fontsize #13 <%= part %>

  \vspace #<%= mm(1.3) / 3 %>

  \say #11.5 <%= about %>

  \vspace #<%= mm(0.4) / 3 %>

  \draw-hline
  \vspace #<%= mm(0.9) / 3 %>

  \override #'(baseline-skip . <%= mm(4.6) %>) \say #11.5 <%= said %>

  \vspace #<%= mm(1.0) / 3 %>
}
\score {
  <<
<% if view.over %>
    \new Lyrics \with { \overCells \textSize #-1 \override LyricText.self-alignment-X = #CENTER } \lyricmode { <%= view.over %> }
<% endif %>
    \new Staff = "music" <<
      \new Voice {
<%= view.music %>

      }
      \new Voice { <%= view.heads %> }
    >>
    \new Lyrics \with { \underNotes \textSize #-2 } \lyricmode { <%= view.numbers %> }
<% for strip in view.strips %>
    \new Strip \with {
      \override StaffSymbol.line-positions = #'(<% for line in strip.lines %><%= 2 * line %> <% endfor %>)
      instrumentName = \markup \scale <%= strip.name %> <%= strip.top %> <%= strip.bottom %>

      shortInstrumentName = \markup \scale <%= strip.name %> <%= strip.top %> <%= strip.bottom %>

    } { <%= strip.music %> }
<% endfor %>
  >>
  \layout {
    indent = 15\mm
    short-indent = 15\mm
    ragged-right = <%= "##t" if view.ragged else "##f" | as_ly %>

    \context {
      \Score
      \override SpacingSpanner.shortest-duration-space = #2.6
<% if view.bar_numbers %>
      barNumberVisibility = #(lambda (number position) (equal? position ZERO-MOMENT))
      barNumberFormatter = #(printed-numbers '(<% for number in view.bar_numbers %><%= number %> <% endfor %>))
<% endif %>
    }
<% if view.bar_numbers %>
    \context {
      \Staff
      \consists Bar_number_engraver
      \override BarNumber.break-visibility = ##(#f #t #t)
      \override BarNumber.font-size = #-0.5
      \override BarNumber.self-alignment-X = #beside-bar-line
      \override BarNumber.outside-staff-priority = ##f
      \override BarNumber.Y-offset = #<%= view.level %>

    }
<% endif %>
  }
}
%% The foot never stands alone on a page.
\noPageBreak
\label #'last-of-take
<% for line in legend %>
\markup \override #'(baseline-skip . <%= mm(3.9) %>) \sans \say #9 <%= line %>

<% endfor %>
}
