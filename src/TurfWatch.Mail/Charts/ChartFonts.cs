using SkiaSharp;

namespace TurfWatch.Mail.Charts;

/// <summary>
/// The letters of the charts: Open Sans, shipped inside the assembly (SIL Open Font License 1.1, Charts/Fonts/OFL.txt),
/// so that a chart does not depend on what fonts a machine has; on one without any, its text would be missing in silence.
/// </summary>
internal sealed class ChartFonts : IDisposable
{
    public const float Size = 15;

    private readonly SKTypeface _regular;
    private readonly SKTypeface _bold;

    private ChartFonts(SKTypeface regular, SKTypeface bold, float size)
    {
        (_regular, _bold) = (regular, bold);
        Plain = Of(regular, size);
        Strong = Of(bold, size);
    }

    public SKFont Plain { get; }

    public SKFont Strong { get; }

    /// <param name="size">Other than usual only to see a chart without letters.</param>
    public static ChartFonts Shipped(float size = Size) =>
        new(Load("OpenSans-Regular"), Load("OpenSans-Bold"), size);

    public void Dispose()
    {
        Plain.Dispose();
        Strong.Dispose();
        _regular.Dispose();
        _bold.Dispose();
    }

    private static SKFont Of(SKTypeface face, float size) =>
        new(face, size)
        {
            Edging = SKFontEdging.Antialias,
            Hinting = SKFontHinting.None,
            Subpixel = true,
        };

    private static SKTypeface Load(string name)
    {
        using var stream =
            typeof(ChartFonts).Assembly.GetManifestResourceStream(name + ".ttf")
            ?? throw new InvalidOperationException($"the font {name} is not in the assembly");
        return SKTypeface.FromStream(stream)
            ?? throw new InvalidOperationException($"the font {name} cannot be read");
    }
}
