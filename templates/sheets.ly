<%# A document of drill sheets, one book part each. %>
<% include "page.ly" %>
<% from "gaps.ly" import gaps %>
<% from "score.ly" import score %>
<% from "blocks.ly" import head, heading, foot, running_head, footer %>
<% from "section.ly" import section, silent %>
<% include "layout.ly" %>
<% if with_functions %>
<% include "functions.ly" %>
<% endif %>
<% for view in views %>
<% if view.kind == "section" %>
<%= section(view, page, mm) | as_ly %>
<% elif view.kind == "silent" %>
<%= silent(view, mm) | as_ly %>
<% else %>

\bookpart {
  \paper {
<% if not view.tight %>
    \withAir
<% elif view.own_staff_size %>
<%= gaps(view.own_staff_size / page.staff_size) | as_ly %>

<% endif %>
<% if view.pages <= 2 and view.filled %>
    page-count = <%= view.pages %>

<% endif %>
<% if view.loose %>
    ragged-bottom = ##t
    score-markup-spacing =
      #'((basic-distance . 0) (minimum-distance . 0) (padding . <%= view.loose %>) (stretchability . 0))
    score-system-spacing =
      #'((basic-distance . 0) (minimum-distance . 0) (padding . <%= view.loose %>) (stretchability . 0))
<% else %>
    ragged-last-bottom = ##f
<% endif %>
    oddHeaderMarkup = \markup \unless \on-first-page-of-part <%= running_head(view, mm) | as_ly %>

    evenHeaderMarkup = \oddHeaderMarkup
    oddFooterMarkup = \markup <% if view.footed %><%= footer(view, view.numbered, mm) | as_ly %><% else %>\null<% endif %>

    evenFooterMarkup = \oddFooterMarkup
  }
<%= head(view, mm) | as_ly %>
<% for one in view.scores %>
<% if loop.index0 - 1 == view.turn %>
\pageBreak
<% endif %>
<% if one.music %>
<%= score(one, view.own_staff_size, view.sizes, view.tight, with_midi, mm) | as_ly %>
<% else %>
\markup <%= heading(one.heading, mm) | as_ly %>

<% endif %>
<% endfor %>
  %% The foot never stands alone on a page.
  \noPageBreak
  \label #'last-of-<%= view.number %>

<%= foot(view, mm) | as_ly %>
}
<% endif %>
<% endfor %>
