using Deque.AxeCore.Commons;
using Microsoft.Playwright;
using Xunit;

namespace TurfWatch.Testing.Browser;

/// <summary>
/// The axe rules (WCAG 2.2 A and AA and best practices among them) on a page without frames: the script is put in once
/// a page and run as often as its colors or its width change.
/// </summary>
internal static class AxeCheck
{
    // Every rule runs; the long lists of what passed are not written out, which is what takes the time.
    private const string Run = """
        async () => {
            const found = await axe.run(document, { resultTypes: ['violations'] });
            return [
                found.passes.some(p => p.id === 'color-contrast') ? 'contrast was judged' : '',
                ...found.violations.map(v => `${v.id}: ${v.help} ${v.nodes.map(n => n.html).join(' | ')}`)];
        }
        """;

    private static readonly Lazy<string> Script = new(() =>
        new BundledAxeScriptProvider().GetScript()
    );

    /// <summary>Finds nothing, or says what.</summary>
    /// <param name="where">Names the page in the sentence.</param>
    public static async Task HoldAsync(IPage page, string where)
    {
        if (!await page.EvaluateAsync<bool>("() => 'axe' in window"))
        {
            await page.EvaluateAsync(Script.Value);
        }

        var found = await page.EvaluateAsync<string[]>(Run);
        Assert.True(found.Length == 1, $"{where}: {string.Join('\n', found.Skip(1))}");
        Assert.Equal("contrast was judged", found[0]);
    }

    /// <summary>How far the page is wider than its window [px]; 0 when nothing scrolls sideways (WCAG 2.2, 1.4.10).</summary>
    public static Task<int> OverflowAsync(IPage page) =>
        page.EvaluateAsync<int>(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        );
}
