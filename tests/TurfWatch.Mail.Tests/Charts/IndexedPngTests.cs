using CsCheck;
using SkiaSharp;
using TurfWatch.Mail.Charts;

namespace TurfWatch.Mail.Tests.Charts;

/// <summary>The PNG writer against another's reader (Skia's libpng, which also checks each chunk's sum).</summary>
public sealed class IndexedPngTests
{
    [Fact]
    public void What_was_written_is_read_back_dot_for_dot() =>
        Gen.Select(Gen.Int[1, 40], Gen.Int[1, 40], Gen.Int[1, 256], Gen.UInt.Array[256])
            .Sample(
                (width, height, colors, any) =>
                {
                    using var bitmap = new SKBitmap(Info(width, height));
                    for (var i = 0; i < width * height; i++)
                    {
                        var c = any[i * 7 % colors];
                        bitmap.SetPixel(
                            i % width,
                            i / width,
                            new((byte)c, (byte)(c >> 8), (byte)(c >> 16))
                        );
                    }

                    using var read = Written(bitmap);
                    Assert.Equal((width, height), (read.Width, read.Height));
                    for (var i = 0; i < width * height; i++)
                    {
                        var (x, y) = (i % width, i / width);
                        Assert.Equal(bitmap.GetPixel(x, y), read.GetPixel(x, y));
                    }
                }
            );

    [Fact]
    public void Beyond_256_colors_a_rare_shade_takes_a_near_one()
    {
        // 400 shades, as smoothed edges make them: from white to blue and from white to red; every other one is rare.
        using var bitmap = new SKBitmap(Info(20, 400));
        for (var row = 0; row < 400; row++)
        {
            for (var x = 0; x < 20; x++)
            {
                var shade = row % 2 == 0 || x == 0 ? row : row - 1;
                bitmap.SetPixel(
                    x,
                    row,
                    shade < 200
                        ? new((byte)(255 - shade), (byte)(255 - shade), 255)
                        : new(255, (byte)(455 - shade), (byte)(455 - shade))
                );
            }
        }

        using var read = Written(bitmap);
        Assert.InRange(read.Pixels.Distinct().Count(), 200, 256);
        Assert.All(
            bitmap.Pixels.Zip(read.Pixels),
            p =>
            {
                Assert.InRange(Math.Abs(p.First.Red - p.Second.Red), 0, 2);
                Assert.InRange(Math.Abs(p.First.Green - p.Second.Green), 0, 2);
                Assert.InRange(Math.Abs(p.First.Blue - p.Second.Blue), 0, 2);
            }
        );
    }

    private static SKImageInfo Info(int width, int height) =>
        new(width, height, SKColorType.Rgba8888, SKAlphaType.Opaque);

    private static SKBitmap Written(SKBitmap bitmap)
    {
        using var pixels = bitmap.PeekPixels();
        return SKBitmap.Decode(IndexedPng.Encode(pixels));
    }
}
