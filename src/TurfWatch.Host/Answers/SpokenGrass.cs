using TurfWatch.Core;

namespace TurfWatch.Host.Answers;

/// <summary>Grasses by the names that people give them.</summary>
internal static class SpokenGrass
{
    private static readonly (string Name, GrassKind Kind)[] Names =
    [
        ("annual rye", GrassKind.AnnualRyegrass),
        ("perennial rye", GrassKind.PerennialRyegrass),
        ("ryegrass", GrassKind.AnnualRyegrass),
        ("rye", GrassKind.AnnualRyegrass),
        ("fine fescue", GrassKind.FineFescue),
        ("red fescue", GrassKind.FineFescue),
        ("fescue", GrassKind.TallFescue),
        ("bluegrass", GrassKind.KentuckyBluegrass),
        ("kbg", GrassKind.KentuckyBluegrass),
        ("hybrid bermuda", GrassKind.HybridBermuda),
        ("bermuda hybrid", GrassKind.HybridBermuda),
        ("bermuda", GrassKind.Bermuda),
        ("zoysia", GrassKind.Zoysia),
        ("augustine", GrassKind.StAugustine),
        ("centipede", GrassKind.Centipede),
        ("buffalo", GrassKind.Buffalograss),
    ];

    /// <summary>The grass that is named first in the list above and occurs in the text; null when none does.</summary>
    public static GrassKind? Find(string text)
    {
        var plain = text.Replace('-', ' ');
        foreach (var (name, kind) in Names)
        {
            if (plain.Contains(name, StringComparison.OrdinalIgnoreCase))
            {
                return kind;
            }
        }

        return null;
    }
}
