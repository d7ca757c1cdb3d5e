<%# A section: its players' staves in score, and the page of a player who has nothing to drill. %>
<% from "gaps.ly" import gaps, faces %>
<% from "blocks.ly" import running_head, footer, section_head, small_print %>

<% macro section(view, page, mm) %>

\bookpart {
  \paper {
    \withAir
<%= gaps(view.staff_size / page.staff_size) | as_ly %>

    oddHeaderMarkup = \markup \unless \on-first-page-of-part <%= running_head(view, mm) | as_ly %>

    evenHeaderMarkup = \oddHeaderMarkup
    oddFooterMarkup = \markup <%= footer(view, view.numbered, mm) | as_ly %>

    evenFooterMarkup = \oddFooterMarkup
  }
<%= section_head(view, view.sheet.words, mm) | as_ly %>
<% for one in view.scores %>
<%= section_score(one, view.staff_size, view.staff_size / page.staff_size) | as_ly %>
<% endfor %>
  \noPageBreak
  \label #'last-of-<%= view.number %>

<%= small_print(view, mm) | as_ly %>
}
<% endmacro %>

<% macro section_score(view, staff_size, scale) %>
\score {
  <<
<% if view.labels %>
    \new Lyrics \with { \overBars #<%= scale %> \textSize #<%= view.label_size %> } \lyricmode { <%= view.labels %> }
<% endif %>
<% if view.chords %>
    \new Lyrics \with { \chordSymbols \overNotes #<%= scale %> \textSize #<%= view.chord_size %> } \lyricmode { <%= view.chords %> }
<% endif %>
    \new StaffGroup \with { \sectionStaves #<%= scale %> } <<
<% for staff in view.staves %>
      \new Staff \with {
        instrumentName = \markup <%= staff.name %>

        shortInstrumentName = \markup <%= staff.short %>

      } {
\accidentalStyle default
<%= staff.music %>

      }
<% if staff.under %>
      \new Lyrics \with {
        \functionsUnder #<%= scale %> \textSize #<%= view.under_size %>

      } \lyricmode { <%= staff.under %> }
<% endif %>
<% endfor %>
    >>
  >>
<% if view.heading %>
  \header {
    piece = \markup \abs-fontsize #10.5 \sans \bold <%= view.heading %>

  }
<% endif %>
  \layout {
    #(layout-set-staff-size <%= staff_size %>)
<%= faces(staff_size) | as_ly %>

    indent = <%= view.indent %>\mm
    short-indent = <%= view.short_indent %>\mm
    ragged-right = <%= ("##t" if view.ragged else "##f") | as_ly %>

    \context {
      \Score
      \override SpacingSpanner.base-shortest-duration = #(ly:make-moment 1/8)
      \override SpacingSpanner.common-shortest-duration = #(ly:make-moment 1/8)
      \override SpacingSpanner.spacing-increment = #<%= 1.2 * scale %>

    }
    \context {
      \Staff
      \override InstrumentName.self-alignment-X = #RIGHT
      \override InstrumentName.padding = #0.6
    }
  }
}
<% endmacro %>

<% macro silent(view, mm) %>

\bookpart {
  \paper {
    oddHeaderMarkup = \markup \null
    evenHeaderMarkup = \oddHeaderMarkup
    oddFooterMarkup = \markup <%= footer(view, view.numbered, mm) | as_ly %>

    evenFooterMarkup = \oddFooterMarkup
  }
<%= section_head(view, view.words, mm) | as_ly %>
<% for line in view.lines %>
\markup \column { \vspace #<%= mm(2.0) / 3 %> \say #13 <%= line %> }
<% endfor %>
  \label #'last-of-<%= view.number %>

\markup \column { \vspace #<%= mm(4.0) / 3 %> \sans \say #10 "The page of the section follows." }
}
<% endmacro %>
