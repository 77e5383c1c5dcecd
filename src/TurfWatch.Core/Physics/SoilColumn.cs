namespace TurfWatch.Core.Physics;

/// <summary>
/// Heat conduction in a layered column, <c>C ∂T/∂t = ∂/∂z(λ ∂T/∂z)</c>, on layers of any thickness, with
/// no flux through the bottom and a flux of the caller's making through the top.
/// </summary>
/// <remarks>
/// Space: finite volumes; the resistance between two centres is the sum of the half layers' (second order).
/// Time: the two-stage diagonally implicit Runge-Kutta method with γ = 1 - 1/√2 (Alexander 1977, SIAM J.
/// Numer. Anal. 14:1006): second order and L-stable, so that thin layers do not ring under an hourly step
/// as they do with Crank-Nicolson. Both stages share one matrix, which is reduced from the bottom up; what
/// is left at the top is a conductance and a temperature behind it, so that the surface balance can be
/// solved together with the soil instead of one after the other.
/// Energy: the change of heat content equals dt·[(1-γ)·G₁ + γ·G₂] to rounding.
/// Validity: any dt; accuracy asks for layers of about 1 cm at the top and dt of at most an hour.
/// </remarks>
public sealed class SoilColumn
{
    /// <summary>γ of the method, and the weight of the second stage.</summary>
    public const double Gamma = 0.29289321881345254;

    private const double StageCarry = (1 - Gamma) / Gamma;

    private readonly int _count;
    private readonly double[] _thickness;

    // The reduced matrix, each row divided by its diagonal: y_i = own_i·T_i + up_i·y_(i+1) from the bottom up, then
    // t_i = y_i + down_i·t_(i-1) from the top down.
    private readonly double[] _own; // C dz / (γ dt), over the diagonal
    private readonly double[] _up; // conductance to the layer below, over the diagonal
    private readonly double[] _down; // conductance to the layer above, over the diagonal
    private readonly double[] _reduced; // y
    private readonly double[] _above; // conductance to the layer above
    private readonly double[] _inverse; // 1 / diagonal

    /// <param name="thicknessM">Thickness of each layer from the top [m], at least two layers, each above 0.</param>
    public SoilColumn(ReadOnlySpan<double> thicknessM)
    {
        if (thicknessM.Length < 2)
        {
            throw new ArgumentOutOfRangeException(
                nameof(thicknessM),
                $"{thicknessM.Length} layers: give at least 2"
            );
        }

        foreach (var dz in thicknessM)
        {
            if (!(dz > 0))
            {
                throw new ArgumentOutOfRangeException(
                    nameof(thicknessM),
                    $"a layer of {dz} m: every layer must be thicker than 0"
                );
            }
        }

        _count = thicknessM.Length;
        _thickness = thicknessM.ToArray();
        _own = new double[_count];
        _up = new double[_count];
        _down = new double[_count];
        _reduced = new double[_count];
        _above = new double[_count];
        _inverse = new double[_count];
    }

    /// <summary>Conductance towards the soil as the surface sees it in this stage [W/m²K].</summary>
    public double SurfaceConductance { get; private set; }

    /// <summary>Temperature behind <see cref="SurfaceConductance"/> in this stage [°C].</summary>
    public double SurfaceReference { get; private set; }

    /// <summary>Sets properties and step, and reduces the matrix. It holds until called again: needed only when they change.</summary>
    /// <param name="conductivity">Conductivity of each layer [W/mK], above 0.</param>
    /// <param name="heatCapacity">Volumetric heat capacity of each layer [J/m³K], above 0.</param>
    /// <param name="coverResistance">Resistance between the surface and the soil's top, for example thatch [m²K/W], 0 or more.</param>
    /// <param name="stepS">Time step [s], above 0.</param>
    /// <param name="deepest">The deepest layer whose properties have changed since the last call, with the same step; the rest of the matrix holds. −1: only the resistance has; null: all may have.</param>
    public void Prepare(
        ReadOnlySpan<double> conductivity,
        ReadOnlySpan<double> heatCapacity,
        double coverResistance,
        double stepS,
        int? deepest = null
    )
    {
        var stage = 1 / (Gamma * stepS);

        // The layer under a changed one feels its conductivity.
        var from = Math.Min(
            _count - 1,
            deepest is { } layer ? (layer < 0 ? -1 : layer + 1) : _count - 1
        );
        var (below, inverseBelow) =
            from + 1 < _count ? (_above[from + 1], _inverse[from + 1]) : (0, 0);
        for (var i = from; i >= 0; i--)
        {
            var storage = heatCapacity[i] * _thickness[i] * stage;
            var above =
                i == 0
                    ? 0
                    : 2
                        / (
                            (_thickness[i - 1] / conductivity[i - 1])
                            + (_thickness[i] / conductivity[i])
                        );
            var inverse = 1 / (storage + above + below - (below * below * inverseBelow));
            _own[i] = storage * inverse;
            _up[i] = below * inverse;
            _down[i] = above * inverse;
            (below, inverseBelow) = (above, inverse);
            (_above[i], _inverse[i]) = (above, inverse);
        }

        var top = 1 / ((_thickness[0] / (2 * conductivity[0])) + coverResistance);
        SurfaceConductance = top / (1 + (top * _inverse[0]));
    }

    /// <summary>Begins the first stage from the temperatures at the start of the step.</summary>
    public void BeginFirst(ReadOnlySpan<double> start)
    {
        var y = 0.0;
        for (var i = _count - 1; i >= 0; i--)
        {
            y = Math.FusedMultiplyAdd(_up[i], y, _own[i] * start[i]);
            _reduced[i] = y;
        }

        SurfaceReference = y;
    }

    /// <summary>Begins the second stage from the start of the step and the first stage's result.</summary>
    public void BeginSecond(ReadOnlySpan<double> start, ReadOnlySpan<double> first)
    {
        var y = 0.0;
        for (var i = _count - 1; i >= 0; i--)
        {
            var from = start[i] + (StageCarry * (first[i] - start[i]));
            y = Math.FusedMultiplyAdd(_up[i], y, _own[i] * from);
            _reduced[i] = y;
        }

        SurfaceReference = y;
    }

    /// <summary>Flux into the soil for a surface temperature in this stage [W/m²].</summary>
    public double FluxAt(double surfaceC) => SurfaceConductance * (surfaceC - SurfaceReference);

    /// <summary>Ends the stage with the flux into the soil and writes the temperatures.</summary>
    public void End(double fluxWM2, Span<double> result)
    {
        var t = _reduced[0] + (fluxWM2 * _inverse[0]);
        result[0] = t;
        for (var i = 1; i < _count; i++)
        {
            t = Math.FusedMultiplyAdd(_down[i], t, _reduced[i]);
            result[i] = t;
        }
    }
}
