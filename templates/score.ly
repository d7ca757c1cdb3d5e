<%# One piece of music: the excerpt, the cells of one size, or a line in one rhythm. %>
<% from "blocks.ly" import heading %>
<% from "gaps.ly" import faces %>
<% macro score(view, staff_size, sizes, tight, with_midi, mm) %>
\score {
  <<
<% if view.chords and view.kind == "chords" %>
    \new Lyrics \with { \chordSymbols \overNotes #1 \textSize #<%= sizes.chords %> } \lyricmode { <%= view.chords %> }
<% elif view.chords %>
    \new Lyrics \with { \chordSymbols \textSize #<%= sizes.chords %> \overLevel #<%= view.level %><% if view.functions %> \override LyricSpace.minimum-distance = #1.8<% endif %> } \lyricmode { <%= view.chords %> }
<% endif %>
<% if view.labels %>
    \new Lyrics \with { \overCells \textSize #<%= sizes.labels %> } \lyricmode { <%= view.labels %> }
<% endif %>
    \new Staff {
<% if view.kind == "cells" %>
\accidentalStyle default
\omit Staff.TimeSignature
\set Staff.explicitClefVisibility = #end-of-line-invisible
\set Staff.explicitKeySignatureVisibility = #end-of-line-invisible
\set Staff.printKeyCancellation = ##f
<% endif %>
<%= view.music %>

    }
<% if view.numbers %>
    \new Lyrics \with { \underNotes \textSize #<%= sizes.numbers %> } \lyricmode { <%= view.numbers %> }
<% endif %>
<% if view.functions %>
    \new Lyrics \with { \functionsUnder #1 \textSize #<%= sizes.functions %> } \lyricmode { <%= view.functions %> }
<% endif %>
  >>
<% if view.heading %>
  \header {
    piece = \markup <%= heading(view.heading, mm) | as_ly %>

  }
<% endif %>
  \layout {
<% if staff_size %>
    #(layout-set-staff-size <%= staff_size %>)
<%= faces(staff_size) | as_ly %>

<% endif %>
<% if view.ragged %>
    ragged-right = ##t
<% else %>
    ragged-right = ##f
<% endif %>
<% if view.width %>
    line-width = <%= view.width %>\mm
<% endif %>
<% if view.whole %>
    \context {
      \Score
      \override NonMusicalPaperColumn.page-break-permission = ##f
    }
<% endif %>
<% if view.kind not in ("cells", "chords") and (view.ragged or not tight) %>
    \context {
      \Score
      \override SpacingSpanner.shortest-duration-space = #<%= 3.6 if view.ragged else 2.6 %>

    }
<% endif %>
<% if view.kind == "cells" %>
    \context {
      \Score
      \override NonMusicalPaperColumn.line-break-permission = ##f
    }
<% endif %>
<% if view.kind == "excerpt" %>
    \context {
      \Staff
      \consists Bar_number_engraver
      \override BarNumber.break-visibility = ##(#f #t #t)
      \override BarNumber.font-size = #-0.5
      \override BarNumber.self-alignment-X = #beside-bar-line
      \override BarNumber.outside-staff-priority = ##f
      \override BarNumber.Y-offset = #<%= view.level %>

    }
    \context {
      \Score
      barNumberVisibility = #(lambda (number position) (equal? position ZERO-MOMENT))
      barNumberFormatter = #(printed-numbers '(<% for number in view.bar_numbers %><%= number %> <% endfor %>))
    }
<% endif %>
  }
<% if with_midi %>
  \midi { }
<% endif %>
}
<% endmacro %>
