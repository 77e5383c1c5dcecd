namespace TurfWatch.Host.Web;

/// <summary>The one style sheet: light and dark, from 320 px up.</summary>
internal static class PageStyle
{
    public const string Sheet = """
        :root { color-scheme: light dark; --back: #f4f6f1; --text: #1c241a; --soft: #4d5847; --card: #fff; --line: #c3ccbd; --edge: #6b7764; --act: #2a5a24; --on-act: #fff; --link: #20561b; --bad: #8c1d18 }
        @media (prefers-color-scheme: dark) { :root { --back: #151a14; --text: #e6ebe3; --soft: #b3bdac; --card: #1e251c; --line: #48533f; --edge: #8b9883; --act: #a5d49b; --on-act: #10200d; --link: #a5d49b; --bad: #ffb4a9 } }
        * { box-sizing: border-box }
        body { margin: 0; background: var(--back); color: var(--text); font: 1.0625rem/1.5 system-ui, sans-serif; overflow-wrap: break-word }
        main { max-width: 40rem; margin: 2rem auto; padding: 1.25rem; background: var(--card); border: 1px solid var(--line); border-radius: .5rem }
        p, li { text-wrap: pretty }
        main > :last-child { margin-bottom: 0 }
        h1 { font-size: 1.375rem; line-height: 1.25; margin: 0 0 .75rem }
        h2 { font-size: 1.125rem; line-height: 1.3; margin: 1.75rem 0 .5rem; padding-top: 1rem; border-top: 1px solid var(--line) }
        h3 { font-size: 1.0625rem; margin: 1rem 0 .25rem }
        a { color: var(--link); display: inline-block; min-height: 1.5rem }
        .soft { color: var(--soft) }
        .verdict { font-size: 1.125rem; font-weight: 600 }
        button { font: inherit; font-weight: 600; min-height: 3rem; padding: .5rem 1.25rem; border: 0; border-radius: .375rem; background: var(--act); color: var(--on-act); cursor: pointer }
        button.plain { background: none; color: var(--link); border: 1px solid var(--edge); min-height: 2.25rem; padding: .25rem .75rem; font-weight: 400 }
        a:focus-visible, button:focus-visible, input:focus-visible, select:focus-visible, summary:focus-visible, [tabindex]:focus-visible { outline: 3px solid var(--text); outline-offset: 2px }
        label, legend { display: block; font-weight: 600; margin-top: 1rem; padding: 0 }
        fieldset { border: 0; margin: 0; padding: 0; min-width: 0 }
        fieldset.days { margin-top: 1rem } .days legend { margin: 0 }
        .days label { display: inline-flex; align-items: center; gap: .375rem; font-weight: 400; margin: .25rem 1rem .25rem 0; min-height: 2rem }
        ul.days { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .25rem 1.25rem } ul.days a { display: inline-block; min-height: 1.75rem }
        .tick { display: flex; align-items: flex-start; gap: .5rem; font-weight: 400 }
        input, select { font: inherit; color: inherit; background: var(--card); border: 1px solid var(--edge); border-radius: .25rem }
        input:not([type=checkbox]), select { width: 100%; min-height: 2.75rem; padding: .375rem .5rem }
        input[type=checkbox] { width: 1.5rem; height: 1.5rem; margin: 0; flex: none; accent-color: var(--act) }
        [aria-invalid=true] { border: 2px solid var(--bad) }
        .hint { color: var(--soft); font-size: .9375rem; margin: .125rem 0 .25rem }
        .fault { color: var(--bad); font-weight: 600; margin: .125rem 0 .25rem }
        .faults { border: 2px solid var(--bad); border-radius: .375rem; padding: .75rem 1rem; margin: 0 0 1rem }
        li a { display: inline }
        .faults h2 { border: 0; margin: 0; padding: 0 }
        .faults ul { margin: .5rem 0 0; padding-left: 1.25rem }
        .send { margin-top: 1.5rem }
        @supports selector(:has(*)) { .by-kind > [class^=of-] { display: none } .by-kind:has([value=mowed]:checked) > .of-mowed, .by-kind:has([value=fed]:checked) > .of-fed, .by-kind:has([value=seeded]:checked) > .of-seeded, .by-kind:has([value=germinated]:checked) > .of-germinated, .by-kind:has([value=watered]:checked) > .of-watered, .by-kind:has([value=soil]:checked) > .of-soil { display: block } }
        .trap { position: absolute; left: -10000px; width: 1px; height: 1px; overflow: hidden }
        table { border-collapse: collapse; width: 100%; table-layout: fixed; font-size: .9375rem }
        thead th:first-child { width: 46% } tbody th span { display: block; font-weight: 400 }
        th, td { text-align: left; vertical-align: top; padding: .375rem .75rem .375rem 0; border-bottom: 1px solid var(--line) }
        caption { text-align: left; color: var(--soft); padding-bottom: .25rem }
        figure { margin: 1rem 0 } img { max-width: 100%; height: auto; background: #fff; border-radius: .25rem }
        dl { display: grid; grid-template-columns: minmax(7rem, auto) 1fr; gap: .25rem .75rem; margin: 0 } dt { color: var(--soft) } dd { margin: 0 }
        .log { list-style: none; padding: 0; margin: 0 } .log li { display: flex; flex-wrap: wrap; align-items: center; justify-content: space-between; gap: .25rem .75rem; padding: .375rem 0; border-bottom: 1px solid var(--line) }
        .log form { margin: 0 } .acts { display: flex; align-items: center; gap: 1rem; margin-left: auto }
        @media (max-width: 34rem) { main { margin: 0; border: 0; border-radius: 0; min-height: 100vh } dl { grid-template-columns: 1fr } dd { margin-bottom: .375rem } }
        """;
}
