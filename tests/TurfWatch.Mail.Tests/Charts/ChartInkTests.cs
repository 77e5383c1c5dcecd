using SkiaSharp;
using TurfWatch.Mail.Charts;

namespace TurfWatch.Mail.Tests.Charts;

/// <summary>Colors held to WCAG 2.2: 1.4.3 for letters (4.5:1), 1.4.11 for lines and bars (3:1), on both grounds of a card.</summary>
public sealed class ChartInkTests
{
    private static readonly SKColor[] Grounds = [ChartInk.Paper, ChartInk.Ahead];

    [Fact]
    public void Lines_and_bars_stand_out_from_the_card() =>
        Assert.All(
            ChartInk.Strong.Append(ChartInk.Faint).Append(ChartInk.Level),
            c => Assert.All(Grounds, g => Assert.True(Contrast(c, g) >= 3, $"{c} on {g}"))
        );

    [Fact]
    public void Letters_stand_out_from_the_card() =>
        Assert.All(
            new[] { ChartInk.Text, ChartInk.Level, ChartInk.Faint }.Concat(ChartInk.Strong),
            c => Assert.All(Grounds, g => Assert.True(Contrast(c, g) >= 4.5, $"{c} on {g}"))
        );

    [Fact]
    public void The_reckoning_of_contrast_is_that_of_the_standard()
    {
        // WCAG 2.2: white on black is 21:1; #767676 is the lightest gray that passes 4.5:1 on white.
        Assert.Equal(21, Contrast(SKColors.White, SKColors.Black), 3);
        Assert.InRange(Contrast(new(0x76, 0x76, 0x76), SKColors.White), 4.5, 4.6);
    }

    // Matrices of Machado, Oliveira and Fernandes 2009, severity 1 (from memory, unverified), in linear light.
    [Theory]
    [InlineData(
        "red",
        0.152286,
        1.052583,
        -0.204868,
        0.114503,
        0.786281,
        0.099216,
        -0.003882,
        -0.048116,
        1.051998
    )]
    [InlineData(
        "green",
        0.367322,
        0.860646,
        -0.227968,
        0.280085,
        0.672501,
        0.047413,
        -0.01182,
        0.04294,
        0.968881
    )]
    [InlineData(
        "blue",
        1.255528,
        -0.076749,
        -0.178779,
        -0.078411,
        0.930809,
        0.147602,
        0.004733,
        0.691367,
        0.3039
    )]
    public void The_first_two_colors_differ_for_an_eye_that_lacks_one_kind_of_cones(
        string lacking,
        double a,
        double b,
        double c,
        double d,
        double e,
        double f,
        double g,
        double h,
        double i
    )
    {
        double[] See(SKColor color)
        {
            var (red, green, blue) = (Linear(color.Red), Linear(color.Green), Linear(color.Blue));
            return
            [
                a * red + b * green + c * blue,
                d * red + e * green + f * blue,
                g * red + h * green + i * blue,
            ];
        }

        var (one, two) = (See(ChartInk.Strong[0]), See(ChartInk.Strong[1]));
        var apart = Math.Sqrt(one.Zip(two, (x, y) => (x - y) * (x - y)).Sum());
        Assert.True(apart > 0.1, $"{apart} apart without {lacking}");
    }

    private static double Contrast(SKColor a, SKColor b)
    {
        var (x, y) = (Luminance(a), Luminance(b));
        return (Math.Max(x, y) + 0.05) / (Math.Min(x, y) + 0.05);
    }

    private static double Luminance(SKColor c) =>
        0.2126 * Linear(c.Red) + 0.7152 * Linear(c.Green) + 0.0722 * Linear(c.Blue);

    private static double Linear(byte channel)
    {
        var c = channel / 255.0;
        return c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4);
    }
}
