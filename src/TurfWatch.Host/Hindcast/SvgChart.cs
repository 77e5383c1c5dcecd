using System.Globalization;
using System.Security;
using System.Text;

namespace TurfWatch.Host.Hindcast;

/// <summary>One chart of numbers against numbers, written as SVG: axes with ticks, lines, dots, bars, a legend.</summary>
internal sealed class SvgChart
{
    private const int Width = 760;
    private const int Left = 58;
    private const int Right = 16;
    private const int Top = 54;
    private const int Bottom = 46;

    private readonly StringBuilder _body = new();
    private readonly int _width;
    private readonly int _height;
    private readonly (double Low, double High) _x;
    private readonly (double Low, double High) _y;
    private int _legendAt = Left;

    public SvgChart(
        string title,
        string xName,
        string yName,
        (double Low, double High) x,
        (double Low, double High) y,
        IReadOnlyList<(double At, string Text)> xTicks,
        bool square = false
    )
    {
        (_x, _y) = (x, y);
        _width = square ? 470 : Width;
        _height = square ? 430 : 300;
        Text(Left, 20, title, "start", "bold 14px");
        Text((Left + _width - Right) / 2.0, _height - 8, xName, "middle");
        _body.Append(
            CultureInfo.InvariantCulture,
            $"<text transform=\"translate(14 {(Top + _height - Bottom) / 2.0:0.#}) rotate(-90)\" text-anchor=\"middle\">{SecurityElement.Escape(yName)}</text>\n"
        );
        foreach (var at in Ticks(y))
        {
            Segment((x.Low, at), (x.High, at), "#ddd", 1);
            Text(Left - 6, Y(at) + 4, at.ToString("0.##", CultureInfo.InvariantCulture), "end");
        }

        foreach (var (at, text) in xTicks)
        {
            Segment((at, y.Low), (at, y.High), "#eee", 1);
            Text(X(at), _height - Bottom + 18, text, "middle");
        }

        if (y.Low < 0 && y.High > 0)
        {
            Segment((x.Low, 0), (x.High, 0), "#888", 1);
        }
    }

    /// <summary>Round numbers within a range, at most about seven.</summary>
    public static IEnumerable<double> Ticks((double Low, double High) range)
    {
        var rough = (range.High - range.Low) / 6;
        var power = Math.Pow(10, Math.Floor(Math.Log10(rough)));
        var step =
            power
            * (
                rough / power > 5 ? 10
                : rough / power > 2 ? 5
                : rough / power > 1 ? 2
                : 1
            );
        for (var k = Math.Ceiling(range.Low / step); k * step <= range.High + 1e-9; k++)
        {
            yield return (k * step) + 0.0;
        }
    }

    /// <summary>A line; a NaN breaks it.</summary>
    public void Line(
        string name,
        string colour,
        IEnumerable<(double X, double Y)> points,
        double width = 1.5,
        string dash = ""
    )
    {
        Legend(name, colour);
        var path = new StringBuilder();
        var pen = 'M';
        foreach (var (x, y) in points)
        {
            if (double.IsNaN(y))
            {
                pen = 'M';
                continue;
            }

            path.Append(CultureInfo.InvariantCulture, $"{pen}{X(x):0.#} {Y(y):0.#}");
            pen = 'L';
        }

        _body.Append(
            CultureInfo.InvariantCulture,
            $"<path d=\"{path}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\" stroke-dasharray=\"{dash}\"/>\n"
        );
    }

    public void Dots(
        string name,
        string colour,
        IEnumerable<(double X, double Y)> points,
        double radius = 2.5
    )
    {
        Legend(name, colour);
        foreach (var (x, y) in points.Where(p => !double.IsNaN(p.Y)))
        {
            _body.Append(
                CultureInfo.InvariantCulture,
                $"<circle cx=\"{X(x):0.#}\" cy=\"{Y(y):0.#}\" r=\"{radius}\" fill=\"{colour}\" fill-opacity=\"0.6\"/>\n"
            );
        }
    }

    /// <summary>Bars from nought.</summary>
    public void Bars(
        string name,
        string colour,
        IEnumerable<(double X, double Y)> points,
        double half
    )
    {
        Legend(name, colour);
        foreach (var (x, y) in points.Where(p => !double.IsNaN(p.Y)))
        {
            var (top, bottom) = (Y(Math.Max(y, 0)), Y(Math.Min(y, 0)));
            _body.Append(
                CultureInfo.InvariantCulture,
                $"<rect x=\"{X(x - half):0.#}\" y=\"{top:0.#}\" width=\"{X(x + half) - X(x - half):0.#}\" height=\"{bottom - top:0.#}\" fill=\"{colour}\"/>\n"
            );
        }
    }

    public override string ToString() =>
        $"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {_width} {_height}\" width=\"{_width}\" height=\"{_height}\" font-family=\"sans-serif\" font-size=\"12\">\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n{_body}</svg>\n";

    private double X(double value) =>
        Left + ((value - _x.Low) / (_x.High - _x.Low) * (_width - Left - Right));

    private double Y(double value) =>
        _height - Bottom - ((value - _y.Low) / (_y.High - _y.Low) * (_height - Top - Bottom));

    private void Legend(string name, string colour)
    {
        if (name.Length == 0)
        {
            return;
        }

        _body.Append(
            CultureInfo.InvariantCulture,
            $"<rect x=\"{_legendAt}\" y=\"33\" width=\"14\" height=\"6\" fill=\"{colour}\"/>\n"
        );
        Text(_legendAt + 19, 41, name, "start");
        _legendAt += 36 + (int)(6.4 * name.Length);
    }

    private void Segment(
        (double X, double Y) from,
        (double X, double Y) to,
        string colour,
        double width
    ) =>
        _body.Append(
            CultureInfo.InvariantCulture,
            $"<line x1=\"{X(from.X):0.#}\" y1=\"{Y(from.Y):0.#}\" x2=\"{X(to.X):0.#}\" y2=\"{Y(to.Y):0.#}\" stroke=\"{colour}\" stroke-width=\"{width}\"/>\n"
        );

    private void Text(double x, double y, string text, string anchor, string font = "") =>
        _body.Append(
            CultureInfo.InvariantCulture,
            $"<text x=\"{x:0.#}\" y=\"{y:0.#}\" text-anchor=\"{anchor}\"{(font.Length > 0 ? " font-weight=\"bold\" font-size=\"14\"" : "")} fill=\"#222\">{SecurityElement.Escape(text)}</text>\n"
        );
}
